import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { KINDS_WITH_FLOOR, type Unit } from '../../src/domain/characteristic.ts'
import { addDecimals } from '../../src/numbers/decimal.ts'
import type { ImportChoices, Nonconforming } from '../contract/receipt.ts'
import type { BuildTable, CharacteristicTable } from '../store/schema.ts'
import type { Writer } from '../store/writer.ts'
import { type Definition, isFault, numberIn } from './definition.ts'
import { Doubts } from './doubts.ts'
import type { CharacteristicEntry, Draft, PartEntry, PartNumberEntry } from './draft.ts'
import { type Drawing, DrawingFinder } from './drawing.ts'
import type { Fault } from './faults.ts'
import { ValueJudge } from './judge.ts'
import { MeasurementWriter } from './measurement-writer.ts'
import type { Notes } from './notes.ts'
import { checkLineage, PartKeeper, type Place } from './part-keeper.ts'
import { RequirementKeeper } from './requirement-keeper.ts'
import {
  field,
  indicesOf,
  type LateFault,
  nameTooLong,
  own,
  type Readers,
  type RowChecker,
  tooLongForName,
} from './row-checker.ts'
import type { Uncertainties } from './uncertainties.ts'
import { splitUnit } from './units.ts'
import type { Meaning } from './vocabulary.ts'

/** Rows checked between two looks at whether the batch is full. */
export const ROWS_AT_ONCE = 1 << 14

/**
 * Seconds that a time may seem to lie before its build without being doubted: a day without a time of day, and
 * clocks of which one tells its zone and the other does not.
 */
const CLOCKS_APART = 38 * 3600

const STAGES_WRITTEN: Readonly<Record<string, Stage>> = {
  green: 'green',
  sintered: 'sintered',
  'as sintered': 'sintered',
  'as-sintered': 'sintered',
  finished: 'finished',
  machined: 'finished',
  gruen: 'green',
  grün: 'green',
  grünteil: 'green',
  gesintert: 'sintered',
  fertig: 'finished',
  bearbeitet: 'finished',
  cru: 'green',
  fritté: 'sintered',
  fini: 'finished',
  verde: 'green',
  sinterizzato: 'sintered',
  finito: 'finished',
  sinterizado: 'sintered',
  acabado: 'finished',
}

/** What a row says beside its value: of which part, when, with what. */
interface Circumstances {
  readonly serial: string
  /** Index into `STAGES`. */
  readonly stage: number
  readonly replicate: number
  /** True where the file numbers its repeats. */
  readonly numbered: boolean
  /** Seconds since 1970-01-01 UTC; NaN where the row does not say. */
  readonly measuredAt: number
  readonly drawing: Drawing
  /** Null where the part is not on record. */
  readonly part: PartEntry | null
  readonly buildText: string
  readonly loadText: string
  readonly place: Place | null
  readonly gaugeText: string
  readonly inspectorText: string
}

/** The same once all of it is on the draft, with the row that said so. */
type Settled = Pick<
  Circumstances,
  'serial' | 'stage' | 'replicate' | 'numbered' | 'measuredAt' | 'drawing'
> & {
  readonly row: readonly string[]
  readonly part: PartEntry
  readonly gauge: number
  readonly inspector: number
}

/** Meanings of the columns that circumstances are read from. */
const CIRCUMSTANCES = [
  'serial',
  'partNumber',
  'revision',
  'partName',
  'build',
  'furnaceLoad',
  'tray',
  'trayPlace',
  'bedX',
  'bedY',
  'bedZ',
  'stage',
  'replicate',
  'measuredAt',
  'timeOfDay',
  'gauge',
  'inspector',
] as const satisfies readonly Meaning[]

/**
 * Checks rows of measurements. Each row is read without side effects first, and only a row that is good in
 * every respect adds to the draft. What rows of one part have in common is compared as text with what was
 * last found good, so that a long file costs little more than its values.
 */
export class MeasurementChecker implements RowChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #out: MeasurementWriter
  readonly #drawings: DrawingFinder
  readonly #parts: PartKeeper
  readonly #requirements: RequirementKeeper
  readonly #at: Readonly<Record<Meaning, number>>
  readonly doubts: Doubts
  readonly #judge: ValueJudge
  /** Part numbers whose values on record are known to the judge. */
  readonly #learnt = new Set<number>()
  /** Values on record by build, of part numbers learnt. */
  readonly #measuredBuilds = new Map<string, number>()
  #lastBuild: BuildTable | undefined
  /** Columns that circumstances are read from. */
  readonly #shared: readonly number[]
  /** Circumstances of the last good row; forgotten whenever parts may be. */
  #settled: Settled | null = null
  readonly #build: string
  #missing = 0
  readonly partNumbers = new Set<number>()
  readonly #stages = new Map<string, number>()
  readonly #gauges = new Map<string, number>([['', 0]])
  readonly #inspectors = new Map<string, number>([['', 0]])

  constructor(
    writer: Writer,
    draft: Draft,
    notes: Notes,
    readers: Readers,
    choices: ImportChoices,
    importId: number,
    uncertainties: Uncertainties | null = null,
  ) {
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.doubts = new Doubts(choices.doubts ?? null)
    this.#judge = new ValueJudge(this.doubts)
    this.#out = new MeasurementWriter(writer, draft, importId, this.doubts, uncertainties)
    this.#drawings = new DrawingFinder(draft, readers.columns, choices)
    this.#parts = new PartKeeper(draft, notes, readers, this.#out)
    this.#requirements = new RequirementKeeper(draft, notes, readers, choices)
    this.#at = indicesOf(readers.columns)
    this.#shared = CIRCUMSTANCES.map((meaning) => this.#at[meaning]).filter((index) => index >= 0)
    this.#build = choices.build ?? ''
    STAGES.forEach((stage, i) => {
      this.#stages.set(stage, i)
    })
  }

  get outOfSpecification(): number {
    return this.#out.outOfSpecification
  }

  get nonconforming(): readonly Nonconforming[] {
    return this.#out.nonconforming
  }

  get nearLimits(): readonly Nonconforming[] {
    return this.#out.nearLimits
  }

  get insideUncertainty(): number | null {
    return this.#out.insideUncertainty
  }

  get couldConvertUnits(): boolean {
    return this.#requirements.couldConvertUnits
  }

  get couldNamePartNumber(): boolean {
    return this.#drawings.couldBeNamed
  }

  async prepare(rows: readonly (readonly string[])[]): Promise<void> {
    this.#settled = null
    const wanted = new Map<PartNumberEntry, Set<string>>()
    let last = ''
    for (const row of rows) {
      const serial = field(row, this.#at.serial)
      if (serial === last) continue
      last = serial
      const partNumber = this.#drawings.peek(row)
      if (partNumber === null || !partNumber.storeHasParts) continue
      if (!this.#learnt.has(partNumber.row.id)) await this.#learn(partNumber.row.id)
      if (partNumber.parts.has(serial)) continue
      const serials = wanted.get(partNumber)
      if (serials === undefined) wanted.set(partNumber, new Set([serial]))
      else serials.add(serial)
    }
    for (const [partNumber, serials] of wanted) {
      for (const row of await this.#writer.partsBySerial(partNumber.row.id, [...serials])) {
        this.#draft.enterPart(partNumber, row)
      }
    }
  }

  check(row: readonly string[], line: number, position: number): Fault | null {
    const at = this.#at
    const settled = this.#settledFor(row)
    const serial = settled?.serial ?? field(row, at.serial)
    if (serial === '')
      return { meaning: 'serial', value: '', reason: 'The row names no part. Give its serial number.' }
    const written = field(row, at.value < 0 ? at.deviation : at.value)
    let valueText = written
    let value = this.#readers.numbers.read(written)
    let attached: Unit | null = null
    if (Number.isNaN(value)) {
      const parts = splitUnit(written)
      if (parts === null) return this.#noNumber(written)
      valueText = parts.number
      attached = parts.unit
      value = this.#readers.numbers.read(valueText)
      if (Number.isNaN(value)) return this.#noNumber(written)
    }
    const read = settled === null ? this.#circumstances(row, serial) : null
    if (read !== null && isFault(read)) return read
    const told = settled ?? (read as Circumstances)
    const { stage, replicate } = told
    const partNumber = told.drawing.entry

    const known = partNumber === null ? null : this.#requirements.find(partNumber, row)
    if (known !== null && isFault(known)) return known
    const requirement = this.#requirements.read(known, partNumber, row)
    if (requirement !== null && isFault(requirement)) return requirement
    const unit = known?.row.unit ?? requirement?.unit ?? this.#readers.columns.headingUnit ?? attached ?? 'mm'
    let measured = this.#requirements.inUnit(value, valueText, row, unit, known, attached)
    if (typeof measured === 'object') return measured
    if (at.value < 0) {
      measured = this.#actual(measured, valueText, requirement, known, unit)
      if (typeof measured === 'object') return measured
    }
    if (measured < 0) {
      const kind = known?.row.kind ?? requirement?.kind ?? 'other'
      if (KINDS_WITH_FLOOR.has(kind)) {
        return { meaning: 'value', value: written, reason: `A value of ${kind} cannot be below zero.` }
      }
    }

    // The row is good: from here on it leaves its mark.
    const owner = partNumber ?? this.#drawings.add(told.drawing, this.#notes)
    if (settled === null) this.partNumbers.add(owner.row.id)
    const characteristic = this.#requirements.settle(known, requirement, owner, row, unit)
    if (
      this.#leftOut(
        characteristic.row,
        serial,
        stage,
        replicate,
        measured,
        value,
        valueText,
        written,
        line,
        position,
      )
    ) {
      return null
    }
    const now = settled ?? this.#settle(read as Circumstances, owner, row, line)
    if (now === null) return null
    this.#out.add(
      now.part,
      characteristic.row.id,
      stage,
      replicate,
      now.numbered,
      measured,
      now.gauge,
      now.inspector,
      now.measuredAt,
      line,
      position,
    )
    return null
  }

  /** What was settled for the row before, where this one says the same of everything but its value. */
  #settledFor(row: readonly string[]): Settled | null {
    const settled = this.#settled
    if (settled === null) return null
    for (const index of this.#shared) if (row[index] !== settled.row[index]) return null
    return settled
  }

  /** What the row says of its part and of how it was measured, read without side effects. */
  #circumstances(row: readonly string[], serial: string): Circumstances | Fault {
    const at = this.#at
    const stage = this.#stage(field(row, at.stage))
    if (stage < 0) {
      return {
        meaning: 'stage',
        value: field(row, at.stage),
        reason: 'A stage is green, sintered or finished.',
      }
    }
    const replicateText = field(row, at.replicate)
    const replicate = readReplicate(replicateText)
    if (replicate === 0) {
      return {
        meaning: 'replicate',
        value: replicateText,
        reason: 'A replicate is a whole number from 1 to 9999.',
      }
    }
    const measuredAt = this.#measuredAt(row)
    if (typeof measuredAt === 'object') return measuredAt

    const drawing = this.#drawings.find(row)
    if (isFault(drawing)) return drawing
    const part = drawing.entry?.parts.get(serial) ?? null
    const buildText = field(row, at.build) || (part === null ? this.#build : '')
    const loadText = field(row, at.furnaceLoad)
    const lineage = checkLineage(part, serial, buildText, loadText)
    if (lineage !== null) return lineage
    const place = this.#parts.place(part, row)
    if (place !== null && isFault(place)) return place

    const gaugeText = field(row, at.gauge)
    const inspectorText = field(row, at.inspector)
    if (serial.length + buildText.length + loadText.length + gaugeText.length + inspectorText.length > 200) {
      const fault = this.#tooLong(row)
      if (fault !== null) return fault
    }
    return {
      serial,
      stage,
      replicate,
      numbered: replicateText !== '',
      measuredAt,
      drawing,
      part,
      buildText,
      loadText,
      place,
      gaugeText,
      inspectorText,
    }
  }

  /** Enter part, gauge and inspector of a good row. @returns null where the row is to be left out */
  #settle(told: Circumstances, owner: PartNumberEntry, row: readonly string[], line: number): Settled | null {
    const { serial, stage, measuredAt, buildText } = told
    if (told.part === null) this.#noteKnownBuild(owner, buildText, stage, serial, line)
    const buildName = told.part?.buildName ?? buildText
    const printedAt = Number.isNaN(measuredAt) ? null : this.#printedAt(buildName)
    const isEarly = printedAt !== null && measuredAt + CLOCKS_APART < printedAt
    if (isEarly && this.#doubtTime(buildName, measuredAt, printedAt, serial, line)) return null
    const part = told.part ?? this.#parts.add(owner, serial, buildText)
    this.#parts.fillIn(part, told.place, told.loadText)
    const settled = {
      row,
      serial,
      stage,
      replicate: told.replicate,
      numbered: told.numbered,
      measuredAt,
      drawing: { ...told.drawing, entry: owner },
      part,
      gauge: this.#named(told.gaugeText, this.#gauges, 'gauge'),
      inspector: this.#named(told.inspectorText, this.#inspectors, 'inspector'),
    }
    // Every early row counts as doubtful, so each has to be looked at.
    this.#settled = isEarly ? null : settled
    return settled
  }

  async #learn(partNumberId: number): Promise<void> {
    this.#learnt.add(partNumberId)
    const cells = await this.#writer.spreadsOf(partNumberId)
    this.#judge.learn(cells)
    for (const { buildId, stage, n } of cells) {
      const key = `${partNumberId}/${buildId}/${stage}`
      this.#measuredBuilds.set(key, (this.#measuredBuilds.get(key) ?? 0) + n)
    }
  }

  /** Whether the inspector left the value out, having been shown why it is doubtful. */
  #leftOut(
    characteristic: CharacteristicTable,
    serial: string,
    stage: number,
    replicate: number,
    measured: number,
    value: number,
    valueText: string,
    written: string,
    line: number,
    position: number,
  ): boolean {
    const expected = this.#judge.expects(characteristic, stage, replicate, measured)
    if (expected && !this.doubts.leavesOut('exchanged', line, position)) return false
    const decimal =
      measured === value ? (this.#readers.numbers.readDecimal(valueText) as string) : String(measured)
    const column = this.#readers.columns.headings[Math.max(this.#at.value, this.#at.deviation)] ?? null
    const judged = {
      part: own(`${characteristic.part_number_id}/${serial}`),
      serial: own(serial),
      characteristic,
      stage,
      replicate,
      value: measured,
      decimal: own(decimal),
      written: own(written),
      line,
      column,
      position,
    }
    if (this.doubts.leavesOut('exchanged', line, position)) return this.#judge.leaveOut(judged)
    return this.#judge.judge(judged)
  }

  /** A build that was measured before gets more parts: no fault, but good to know. */
  #noteKnownBuild(
    owner: PartNumberEntry,
    buildText: string,
    stage: number,
    serial: string,
    line: number,
  ): void {
    if (this.#measuredBuilds.size === 0) return
    const build = this.#draft.builds.get(buildText)
    if (build === undefined) return
    const values = this.#measuredBuilds.get(`${owner.row.id}/${build.id}/${STAGES[stage] as Stage}`)
    if (values === undefined) return
    this.doubts.raiseShared(build.name, {
      kind: 'build-known',
      line,
      column: null,
      position: null,
      value: build.name,
      serial: own(serial),
      characteristic: null,
      text: `Build ${build.name} is on record with ${values} values (${STAGES[stage]}) already, and the file adds parts to it.`,
      likely: null,
      waits: false,
    })
  }

  #printedAt(buildName: string): number | null {
    if (this.#lastBuild?.name !== buildName) this.#lastBuild = this.#draft.builds.get(buildName)
    return this.#lastBuild?.printed_at ?? null
  }

  /** Doubt a time before the build was printed. @returns true where the row is to be left out */
  #doubtTime(
    buildName: string,
    measuredAt: number,
    printedAt: number,
    serial: string,
    line: number,
  ): boolean {
    return this.doubts.raiseShared(buildName, {
      kind: 'before-build',
      line,
      column: null,
      position: null,
      value: new Date(measuredAt * 1000).toISOString().slice(0, 16),
      serial: own(serial),
      characteristic: null,
      text: `The measurement lies before build ${own(buildName)} was printed, ${new Date(printedAt * 1000).toISOString().slice(0, 16)}. Look for a wrong build, or for day and month changed over.`,
      likely: null,
      waits: true,
    })
  }

  checkMissing(_row: readonly string[]): void {
    this.#missing++
  }

  async advance(): Promise<readonly LateFault[]> {
    return this.#out.hasRoomFor(ROWS_AT_ONCE) ? [] : await this.#out.flush()
  }

  async finish(): Promise<readonly LateFault[]> {
    const faults = await this.#out.finish()
    this.#judge.judgeMissing(this.#draft, this.partNumbers)
    if (this.#at.stage < 0)
      this.#notes.say('The file has no column for the stage: its values were taken as sintered.')
    if (this.#missing > 0) {
      this.#notes.say(
        `${this.#missing} empty ${this.#missing === 1 ? 'cell was' : 'cells were'} read as not measured.`,
      )
    }
    if (this.#out.remeasured > 0) {
      this.#notes.say(
        `${this.#out.remeasured} ${this.#out.remeasured === 1 ? 'value was' : 'values were'} measured at another time than earlier ones of the same parts, and kept beside them as repeats.`,
      )
    }
    const moved = this.#out.partsMoved
    if (moved > 0) {
      this.#notes.say(
        `The furnace load of ${moved} ${moved === 1 ? 'part' : 'parts'} measured earlier is known now: their earlier values went with them.`,
      )
    }
    for (const [units, count] of this.#requirements.converted) {
      this.#notes.say(`${count} ${count === 1 ? 'value was' : 'values were'} converted from ${units}.`)
    }
    return faults
  }

  #noNumber(text: string): Fault {
    const meaning = this.#at.value < 0 ? 'deviation' : 'value'
    return { meaning, value: text, reason: this.#readers.numbers.reason }
  }

  /** The value that a deviation stands for: nominal and deviation added as decimals. */
  #actual(
    deviation: number,
    text: string,
    requirement: Definition | null,
    known: CharacteristicEntry | null,
    unit: Unit,
  ): number | Fault {
    const nominal =
      (requirement === null ? null : numberIn(unit, requirement, 'nominal')) ?? known?.row.nominal ?? null
    if (nominal === null) {
      return {
        meaning: 'deviation',
        value: text,
        reason:
          'The file gives a deviation, and the characteristic has no nominal to add it to. Give the nominal in a column of its own, or bring a file that defines the characteristic first.',
      }
    }
    return Number(addDecimals(String(nominal), String(deviation)))
  }

  #stage(text: string): number {
    const known = text === '' ? 1 : this.#stages.get(text)
    if (known !== undefined) return known
    const plain = text.toLowerCase().replaceAll('_', ' ')
    if (!Object.hasOwn(STAGES_WRITTEN, plain)) return -1
    const stage = STAGES.indexOf(STAGES_WRITTEN[plain] as Stage)
    this.#stages.set(own(text), stage)
    return stage
  }

  #measuredAt(row: readonly string[]): number | Fault {
    const text = field(row, this.#at.measuredAt)
    const timeOfDay = field(row, this.#at.timeOfDay)
    if (text === '') return Number.NaN
    const time = this.#readers.times.read(timeOfDay === '' ? text : `${text} ${timeOfDay}`)
    if (!Number.isNaN(time)) return time
    return { meaning: 'measuredAt', value: text, reason: this.#readers.times.reason }
  }

  /** Names that are too long; looked for only where the names of a row are long together. */
  #tooLong(row: readonly string[]): Fault | null {
    for (const meaning of ['serial', 'build', 'furnaceLoad', 'gauge', 'inspector'] as const) {
      const text = field(row, this.#at[meaning])
      if (tooLongForName(text)) return nameTooLong(meaning, text)
    }
    return null
  }

  #named(text: string, known: Map<string, number>, table: 'gauge' | 'inspector'): number {
    let id = known.get(text)
    if (id === undefined) {
      const name = own(text)
      id = this.#draft[table](name)
      known.set(name, id)
    }
    return id
  }
}

/** 1 where nothing is written, 0 where it is no replicate number. */
function readReplicate(text: string): number {
  if (text === '' || text === '1') return 1
  return /^\d{1,4}$/.test(text) ? Number(text) : 0
}
