import { convertWritten } from '../../src/checks/convert-written.ts'
import { sharedParts } from '../../src/gauges/study-purpose.ts'
import type { ImportChoices } from '../contract/receipt.ts'
import type { GaugePlan } from '../store/gauge-studies.ts'
import type { GaugeReadingTable, GaugeStudyTable } from '../store/gauge-tables.ts'
import { naturalOrder } from '../store/natural-order.ts'
import type { Writer } from '../store/writer.ts'
import { CollectingChecker } from './collecting-checker.ts'
import type { CharacteristicEntry, Draft } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import type { Notes } from './notes.ts'
import {
  field,
  indicesOf,
  type LateFault,
  nameTooLong,
  own,
  type Readers,
  tooLongForName,
} from './row-checker.ts'
import { readUnit } from './units.ts'

type NewReading = Omit<GaugeReadingTable, 'study_id' | 'number'>

interface NewStudy {
  readonly plan: GaugePlan | null
  readonly characteristic: CharacteristicEntry | null
  readonly readings: NewReading[]
}

/**
 * Checks the readings of gauge studies. They are kept by themselves, one study for each characteristic of the file:
 * they make no part, no measurement and no cell.
 */
export class GaugeStudyChecker extends CollectingChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #choices: ImportChoices
  readonly #importId: number
  readonly #at: Readonly<Record<Meaning, number>>
  #plans: ReadonlyMap<string, GaugePlan> | null = null
  readonly #studies = new Map<string, NewStudy>()
  readonly #saidOn = new Map<string, number>()
  readonly gaugeStudies: { readonly id: number; readonly plan: number | null }[] = []
  #couldConvertUnits = false
  #couldNamePartNumber = false

  constructor(
    writer: Writer,
    draft: Draft,
    notes: Notes,
    readers: Readers,
    choices: ImportChoices,
    importId: number,
  ) {
    super()
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#choices = choices
    this.#importId = importId
    this.#at = indicesOf(readers.columns)
  }

  override get couldConvertUnits(): boolean {
    return this.#couldConvertUnits
  }

  override get couldNamePartNumber(): boolean {
    return this.#couldNamePartNumber
  }

  async prepare(): Promise<void> {
    if (this.#plans !== null || this.#at.studyPlan < 0) return
    this.#plans = new Map((await this.#writer.plansOnRecord()).map((plan) => [String(plan.id), plan]))
  }

  check(row: readonly string[], line: number): Fault | null {
    const at = this.#at
    const plan = this.#planOf(row)
    if (isFault(plan)) return plan
    const part = field(row, at.studyPart)
    if (part === '') return { meaning: 'studyPart', value: '', reason: 'The row names no part.' }
    const inspector = field(row, at.inspector)
    const gauge = field(row, at.gauge)
    for (const meaning of ['studyPart', 'inspector', 'gauge'] as const) {
      if (tooLongForName(field(row, at[meaning]))) return nameTooLong(meaning, field(row, at[meaning]))
    }
    const trial = readTrial(field(row, at.trial))
    if (trial === 0) {
      return {
        meaning: 'trial',
        value: field(row, at.trial),
        reason: 'A trial is a whole number from 1 to 9999.',
      }
    }
    if (plan !== null) {
      const stray = strayFrom(plan, part, inspector, trial)
      if (stray !== null) return stray
    }
    const characteristic =
      plan?.characteristicId == null
        ? this.#characteristicOf(row)
        : this.#draft.characteristicById(plan.characteristicId)
    if (isFault(characteristic)) return characteristic
    const value = this.#read('value', row, characteristic)
    if (isFault(value)) return value
    const reference = field(row, at.reference) === '' ? null : this.#read('reference', row, characteristic)
    if (isFault(reference)) return reference
    const when = field(row, at.measuredAt)
    const measuredAt = when === '' ? null : this.#readers.times.read(when)
    if (measuredAt !== null && Number.isNaN(measuredAt)) {
      return { meaning: 'measuredAt', value: when, reason: this.#readers.times.reason }
    }
    const ofStudy = `${characteristic?.row.id ?? ''}\n${plan?.id ?? ''}`
    if (trial !== null) {
      const key = `${ofStudy}\n${gauge}\n${part}\n${inspector}\n${trial}\n${measuredAt ?? ''}`
      const before = this.#saidOn.get(key)
      if (before !== undefined) {
        return {
          meaning: 'trial',
          value: String(trial),
          reason: `This trial of part ${part}${inspector === '' ? '' : ` by ${inspector}`} is on line ${before} already. Keep the line that is right.`,
        }
      }
      this.#saidOn.set(own(key), line)
    }

    let study = this.#studies.get(ofStudy)
    if (study === undefined) {
      study = { plan, characteristic, readings: [] }
      this.#studies.set(ofStudy, study)
      if (characteristic !== null) this.partNumbers.add(characteristic.row.part_number_id)
    }
    study.readings.push({
      line,
      part: own(part),
      inspector: own(inspector),
      trial,
      value,
      gauge_id: gauge === '' ? (plan?.gaugeId ?? null) : this.#draft.gauge(own(gauge)),
      reference,
      measured_at: measuredAt,
    })
    return null
  }

  async finish(): Promise<readonly LateFault[]> {
    await this.#draft.save(this.#writer)
    const first = await this.#writer.nextGaugeStudy()
    const studies: GaugeStudyTable[] = []
    const readings: GaugeReadingTable[] = []
    for (const { plan, characteristic, readings: all } of this.#studies.values()) {
      for (const own of ofOneGaugeEach(all)) {
        const id = first + studies.length
        studies.push({
          id,
          import_id: this.#importId,
          plan_id: plan?.id ?? null,
          characteristic_id: characteristic?.row.id ?? null,
        })
        own.forEach((reading, i) => {
          readings.push({ study_id: id, number: i + 1, ...reading })
        })
      }
      this.#tellOf(plan, characteristic, all)
    }
    await this.#writer.addGaugeStudies(studies, readings)
    for (const { id, plan_id } of studies) this.gaugeStudies.push({ id, plan: plan_id })
    return []
  }

  #tellOf(
    plan: GaugePlan | null,
    characteristic: CharacteristicEntry | null,
    readings: readonly NewReading[],
  ): void {
    const taken = readings.length
    const of =
      characteristic === null
        ? 'no characteristic'
        : `characteristic ${characteristic.row.designator}, ${characteristic.row.name}`
    this.#notes.say(
      `A gauge study of ${of}: ${taken} ${taken === 1 ? 'reading' : 'readings'}, kept apart from the measurements of parts; no chart moves by them.`,
    )
    const unnamed = [
      ...(characteristic === null ? ['characteristic'] : []),
      ...(readings.some(({ gauge_id }) => gauge_id === null) ? ['gauge'] : []),
    ]
    if (unnamed.length > 0) {
      this.#notes.say(
        `The file names no ${unnamed.join(' and no ')}, so that no verdict elsewhere counts with the study. To have it counted, withdraw it, name ${unnamed.length === 1 ? 'it' : 'them'} in columns ${unnamed.map((name) => `"${name}"`).join(' and ')}, and bring it again.`,
      )
    }
    if (plan === null) return
    const planned = plan.parts.length * plan.inspectors.length * plan.trials
    if (taken < planned) {
      this.#notes.say(`${planned - taken} of the ${planned} readings of plan ${plan.id} are missing.`)
    }
  }

  #planOf(row: readonly string[]): GaugePlan | Fault | null {
    const text = field(row, this.#at.studyPlan)
    if (text === '') return null
    const plan = this.#plans?.get(text)
    if (plan !== undefined) return plan
    return {
      meaning: 'studyPlan',
      value: text,
      reason:
        'No plan of this number is on record here. Correct the number, or take the column out to bring the readings without a plan.',
    }
  }

  /** The characteristic on record that the row names, by designator or else by name; null where it names none. */
  #characteristicOf(row: readonly string[]): CharacteristicEntry | Fault | null {
    const at = this.#at
    const name = field(row, at.characteristic) || field(row, at.characteristicName)
    if (name === '') return null
    const number = field(row, at.partNumber) || (this.#choices.partNumber ?? '')
    const revision = field(row, at.revision) || (this.#choices.revision ?? '')
    const drawings = this.#draft
      .entriesOf(number === '' ? null : number)
      .filter((entry) => revision === '' || entry.row.revision === revision)
    const found = drawings.flatMap(({ byDesignator, byName }) => {
      const entry = byDesignator.get(name) ?? byName.get(name)
      return entry === undefined || entry === null ? [] : [entry]
    })
    if (found.length === 1) return found[0] as CharacteristicEntry
    const meaning = at.characteristic >= 0 ? 'characteristic' : 'characteristicName'
    if (found.length === 0) {
      const of = number === '' ? 'No part number on record' : `Part number ${number}`
      const designators = drawings.flatMap(({ byDesignator }) => [...byDesignator.keys()])
      const known = [...new Set(designators)].sort(naturalOrder).slice(0, 40).join(', ')
      return {
        meaning,
        value: name,
        reason: `${of} has ${number === '' ? 'a' : 'no'} characteristic of this designator or name. Known are ${known || 'none'}.`,
      }
    }
    this.#couldNamePartNumber = true
    return {
      meaning,
      value: name,
      reason:
        'More than one drawing on record has this characteristic. Say which part number and revision it is of.',
    }
  }

  /** A value or a known value, in the unit of the characteristic. */
  #read(
    meaning: 'value' | 'reference',
    row: readonly string[],
    characteristic: CharacteristicEntry | null,
  ): number | Fault {
    const text = field(row, this.#at[meaning])
    if (text === '') {
      return {
        meaning,
        value: '',
        reason: 'No value stands here: the reading is missing. The study can do without it.',
      }
    }
    const value = this.#readers.numbers.read(text)
    if (Number.isNaN(value)) return { meaning, value: text, reason: this.#readers.numbers.reason }
    const written = field(row, this.#at.unit)
    const unit = written === '' ? this.#readers.columns.headingUnit : readUnit(written)
    if (written !== '' && unit === null) {
      return { meaning: 'unit', value: written, reason: 'A unit is mm, in, µm or °.' }
    }
    // Without a characteristic, as with measurements, millimetres.
    const wanted = characteristic?.row.unit ?? 'mm'
    if (unit === null || unit === wanted) return value
    const decimal = this.#readers.numbers.readDecimal(text) as string
    const converted = convertWritten(decimal, unit, wanted)
    if (converted !== null && this.#choices.convertUnits) return Number(converted)
    this.#couldConvertUnits ||= converted !== null
    return {
      meaning,
      value: text,
      reason: `The value is in ${unit}, and ${characteristic === null ? 'a study without a characteristic is' : 'the characteristic'} in ${wanted}.`,
    }
  }
}

/** Readings of each gauge apart, but those of two gauges that share parts together: these are compared. */
function ofOneGaugeEach(readings: readonly NewReading[]): (readonly NewReading[])[] {
  const named = readings.map((reading) => ({
    part: reading.part,
    gauge: reading.gauge_id === null ? null : String(reading.gauge_id),
  }))
  const known = readings.every(({ reference }) => reference !== null)
  if (!known && sharedParts(named) >= 2) return [readings]
  const gauges = [...new Set(readings.map(({ gauge_id }) => gauge_id))]
  return gauges.map((gauge) => readings.filter(({ gauge_id }) => gauge_id === gauge))
}

function readTrial(text: string): number | null {
  if (text === '') return null
  return /^0*[1-9]\d{0,3}$/.test(text) ? Number(text) : 0
}

function strayFrom(plan: GaugePlan, part: string, inspector: string, trial: number | null): Fault | null {
  if (!plan.parts.includes(part)) {
    return { meaning: 'studyPart', value: part, reason: `Plan ${plan.id} has no such part.` }
  }
  if (!plan.inspectors.includes(inspector)) {
    return { meaning: 'inspector', value: inspector, reason: `Plan ${plan.id} has no such inspector.` }
  }
  if (trial === null || trial > plan.trials) {
    return {
      meaning: 'trial',
      value: trial === null ? '' : String(trial),
      reason: `Plan ${plan.id} has ${plan.trials} trials.`,
    }
  }
  return null
}

function isFault(found: unknown): found is Fault {
  return typeof found === 'object' && found !== null && 'reason' in found
}
