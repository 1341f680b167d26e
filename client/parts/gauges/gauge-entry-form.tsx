import { useState } from 'preact/hooks'
import type { CharacteristicPlace, GaugeEntryView } from '../../../server/contract/gauges.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { send } from '../../data/decide.ts'
import { gaugeAddress } from '../../data/gauge-addresses.ts'
import { DecisionForm } from '../decision-form.tsx'
import { TextField } from '../text-field.tsx'

const UNITS = ['mm', 'in', 'um', 'deg'] as const

interface GaugeEntryFormProps {
  /** Null for a gauge that is not on record. */
  readonly name: string | null
  /** What was last said of it. */
  readonly entry: GaugeEntryView | null
  /** Characteristics to choose from. */
  readonly places: readonly CharacteristicPlace[]
  onClose(): void
}

/** What the register says of a gauge; every change is a version of its own. */
export function GaugeEntryForm({ name, entry, places, onClose }: GaugeEntryFormProps) {
  const [named, setNamed] = useState(name ?? '')
  const [kind, setKind] = useState(entry?.kind ?? '')
  const [unit, setUnit] = useState<(typeof UNITS)[number]>(entry?.unit ?? 'mm')
  const [resolution, setResolution] = useState(textOf(entry?.resolution))
  const [expanded, setExpanded] = useState(textOf(entry?.certificate?.expanded))
  const [factor, setFactor] = useState(textOf(entry?.certificate?.coverageFactor ?? 2))
  const [number, setNumber] = useState(entry?.certificate?.number ?? '')
  const [date, setDate] = useState(entry?.certificate?.date ?? '')
  const [due, setDue] = useState(entry?.due ?? '')
  const [inUse, setInUse] = useState(entry?.inUse ?? true)
  const [chosen, setChosen] = useState<ReadonlySet<number>>(
    new Set(entry?.measures.map(({ characteristic }) => characteristic.id) ?? []),
  )
  const toggle = (id: number) => {
    const next = new Set(chosen)
    if (!next.delete(id)) next.add(id)
    setChosen(next)
  }
  const certified = expanded.trim() !== ''
  return (
    <DecisionForm
      title={
        name === null
          ? 'Enter a gauge, by the name that files of measurements call it.'
          : `Say something new of ${name}. What was said before stays on record.`
      }
      submit="Keep it"
      reason="Why"
      ready={named.trim() !== '' && kind.trim() !== '' && (!certified || date !== '')}
      onClose={onClose}
      send={({ who, reason }) =>
        send(gaugeAddress(named.trim()), {
          kind: kind.trim(),
          unit,
          resolution: numberIn(resolution),
          certificate: certified
            ? {
                number: number.trim(),
                expanded: numberIn(expanded),
                coverageFactor: numberIn(factor),
                date,
              }
            : null,
          due: due === '' ? null : due,
          characteristics: [...chosen],
          inUse,
          reason,
          who,
          version: entry?.version ?? 0,
        })
      }
    >
      <div class="fields">
        {name === null && <TextField label="Name" value={named} onChange={setNamed} />}
        <TextField label="Kind, such as caliper" value={kind} onChange={setKind} />
        <label class="field">
          Unit
          <select value={unit} onChange={(event) => setUnit(event.currentTarget.value as typeof unit)}>
            {UNITS.map((each) => (
              <option key={each} value={each}>
                {unitText(each)}
              </option>
            ))}
          </select>
        </label>
        <TextField
          label={`Resolution, ${unitText(unit)}`}
          value={resolution}
          decimal
          onChange={setResolution}
        />
        <TextField
          label={`Expanded uncertainty of its calibration, ${unitText(unit)}`}
          value={expanded}
          decimal
          onChange={setExpanded}
        />
        <TextField label="Coverage factor k" value={factor} decimal onChange={setFactor} />
        <TextField label="Number of the certificate" value={number} onChange={setNumber} />
        <DayField label="Calibrated on" value={date} onChange={setDate} />
        <DayField label="Due by" value={due} onChange={setDue} />
        <label class="tick">
          <input type="checkbox" checked={inUse} onChange={() => setInUse(!inUse)} />
          <span>in use</span>
        </label>
      </div>
      {drawingsOf(places).map(({ drawing, own }) => (
        <fieldset key={drawing} class="ticks">
          <legend>{`Measures of ${drawing}`}</legend>
          {own.map(({ characteristic }) => (
            <label key={characteristic.id} class="tick">
              <input
                type="checkbox"
                checked={chosen.has(characteristic.id)}
                onChange={() => toggle(characteristic.id)}
              />
              <span>{characteristicTitle(characteristic)}</span>
            </label>
          ))}
        </fieldset>
      ))}
    </DecisionForm>
  )
}

interface DayFieldProps {
  readonly label: string
  readonly value: string
  onChange(value: string): void
}

function DayField({ label, value, onChange }: DayFieldProps) {
  return (
    <label class="field">
      {label}
      <input type="date" value={value} onInput={(event) => onChange(event.currentTarget.value)} />
    </label>
  )
}

function drawingsOf(places: readonly CharacteristicPlace[]) {
  const drawings = new Map<string, CharacteristicPlace[]>()
  for (const place of places) {
    const drawing = `${place.partNumber.number} ${place.partNumber.revision}`
    drawings.set(drawing, [...(drawings.get(drawing) ?? []), place])
  }
  return [...drawings].map(([drawing, own]) => ({ drawing, own }))
}

function textOf(value: number | null | undefined): string {
  return value === null || value === undefined ? '' : String(value)
}

/**
 * A number as typed, with a point or a comma; null where the field is empty. What is no number is sent for the server
 * to refuse.
 */
function numberIn(text: string): number | string | null {
  const plain = text.trim().replace(',', '.')
  if (plain === '') return null
  return Number.isNaN(Number(plain)) ? plain : Number(plain)
}
