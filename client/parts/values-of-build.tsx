import { useEffect, useRef } from 'preact/hooks'
import type { SubgroupView, TracedValue } from '../../server/contract/views.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { characteristicTitle, formatNumber, valueDecimals } from '../../src/words/format.ts'
import { type PartNumberKey, recordPage, subgroupAddress } from '../data/addresses.ts'
import { useResource } from '../data/resource.ts'
import type { TableModel } from '../save/csv.ts'
import { timeText, unitText } from '../words/quantities.ts'
import { saveTable } from './figure.tsx'
import { Reading } from './notice.tsx'

export interface ValuesOfBuildProps {
  readonly partNumber: PartNumberKey
  readonly characteristic: Characteristic
  readonly build: string
  readonly stage: string
  onClose(): void
}

/** The single values behind one point, each with the way back to its row. */
export function ValuesOfBuild({ partNumber, characteristic, build, stage, onClose }: ValuesOfBuildProps) {
  const resource = useResource<SubgroupView>(
    subgroupAddress(partNumber, characteristic.designator, build, stage),
  )
  const place = useRef<HTMLElement>(null)
  // Another build comes into view anew.
  useEffect(() => place.current?.scrollIntoView({ block: 'nearest' }), [build, resource.value])
  const { value } = resource
  const table = value === null ? null : valuesTable(value, characteristic)
  return (
    <section class="values" ref={place}>
      <h3>
        {`Build ${build}, ${characteristicTitle(characteristic)}: the single values`}
        <button type="button" class="plain" onClick={onClose}>
          Close
        </button>
      </h3>
      <Reading resource={resource} what="the values" />
      {value !== null && table !== null && (
        <>
          <TracedTable values={value.values} characteristic={characteristic} caption={table.caption} />
          <p class="actions">
            <button type="button" class="plain" onClick={() => saveTable(table, table.caption)}>
              Save the values as CSV
            </button>
          </p>
        </>
      )}
    </section>
  )
}

const HEADINGS = [
  'serial',
  'value',
  'against limits',
  'tray',
  'place in bed',
  'gauge',
  'inspector',
  'measured',
  'file and line',
]

function TracedTable({
  values,
  characteristic,
  caption,
}: {
  values: readonly TracedValue[]
  characteristic: Characteristic
  caption: string
}) {
  const decimals = Math.max(valueDecimals(characteristic), resolution(values))
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll tall" aria-label={caption} tabIndex={0}>
      <table>
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            {HEADINGS.map((heading) => (
              <th key={heading} scope="col" class={heading === 'value' ? 'number' : undefined}>
                {heading === 'value' ? `value, ${unitText(characteristic.unit)}` : heading}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {values.map((value) => {
            const against = againstLimits(value.value, characteristic)
            return (
              <tr key={`${value.serial} ${value.replicate} ${value.importId} ${value.line}`}>
                <td>{value.replicate > 1 ? `${value.serial}, reading ${value.replicate}` : value.serial}</td>
                <td class="number">{formatNumber(value.value, decimals)}</td>
                <td class={against === 'inside' ? undefined : 'said-mark'}>{against}</td>
                <td>{trayText(value)}</td>
                <td>{bedText(value)}</td>
                <td>{value.gauge ?? '–'}</td>
                <td>{value.inspector ?? '–'}</td>
                <td class="time">{value.measuredAt === null ? '–' : timeText(value.measuredAt)}</td>
                <td>
                  <a href={recordPage(value.importId)}>
                    {value.fileName}, line {value.line}
                  </a>
                </td>
              </tr>
            )
          })}
        </tbody>
      </table>
    </section>
  )
}

/** Decimals that the values were printed with, six at most. */
function resolution(values: readonly TracedValue[]): number {
  return Math.min(6, Math.max(0, ...values.map(({ value }) => String(value).split('.')[1]?.length ?? 0)))
}

function againstLimits(value: number, { lower, upper }: Characteristic): string {
  if (lower !== null && value < lower) return 'below the lower'
  if (upper !== null && value > upper) return 'above the upper'
  return lower === null && upper === null ? '–' : 'inside'
}

function trayText({ furnaceLoad, tray, trayPlace }: TracedValue): string {
  const parts = [
    furnaceLoad,
    tray === null ? null : `tray ${tray}`,
    trayPlace === null ? null : `place ${trayPlace}`,
  ]
  return parts.filter((part) => part !== null).join(', ') || '–'
}

function bedText({ bed }: TracedValue): string {
  if (bed.x === null && bed.y === null && bed.z === null) return '–'
  return [bed.x, bed.y, bed.z].map((value) => (value === null ? '–' : formatNumber(value, 1))).join(', ')
}

function valuesTable({ build, values }: SubgroupView, characteristic: Characteristic): TableModel {
  const words = (heading: string) => ({ heading, decimals: null })
  const figures = (heading: string) => ({ heading, decimals: 3 })
  return {
    caption: `Build ${build.name} ${characteristicTitle(characteristic)} single values`,
    columns: [
      words('serial'),
      figures('reading'),
      figures(`value ${unitText(characteristic.unit)}`),
      words('furnace load'),
      words('tray'),
      words('tray place'),
      figures('bed x'),
      figures('bed y'),
      figures('bed z'),
      words('gauge'),
      words('inspector'),
      words('measured at'),
      figures('import'),
      words('file'),
      figures('line'),
    ],
    rows: values.map((value) => [
      value.serial,
      value.replicate,
      value.value,
      value.furnaceLoad,
      value.tray,
      value.trayPlace,
      value.bed.x,
      value.bed.y,
      value.bed.z,
      value.gauge,
      value.inspector,
      value.measuredAt === null ? null : new Date(value.measuredAt * 1000).toISOString(),
      value.importId,
      value.fileName,
      value.line,
    ]),
  }
}
