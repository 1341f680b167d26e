import { STAGES, type Stage } from '../../src/domain/cell.ts'
import type { BuildDoubts } from './build-doubts.ts'
import { isFault } from './definition.ts'
import type { Draft, PartEntry, PartNumberEntry } from './draft.ts'
import type { Drawing, DrawingFinder } from './drawing.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import { checkLineage, type PartKeeper, type Place } from './part-keeper.ts'
import { field, indicesOf, nameTooLong, own, type Readers, tooLongForName } from './row-checker.ts'

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
export interface Circumstances {
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
export type Settled = Pick<
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

/** Reads what rows of measurements say beside their values, and enters it on the draft once the row is good. */
export class CircumstanceReader {
  readonly #draft: Draft
  readonly #readers: Readers
  readonly #drawings: DrawingFinder
  readonly #parts: PartKeeper
  readonly #doubts: BuildDoubts
  readonly #at: Readonly<Record<Meaning, number>>
  /** Columns that circumstances are read from. */
  readonly #shared: readonly number[]
  /** Build of new parts whose rows name none. */
  readonly #build: string
  #settled: Settled | null = null
  readonly #stages = new Map<string, number>(STAGES.map((stage, i) => [stage, i]))
  readonly #gauges = new Map<string, number>([['', 0]])
  readonly #inspectors = new Map<string, number>([['', 0]])

  constructor(
    draft: Draft,
    readers: Readers,
    drawings: DrawingFinder,
    parts: PartKeeper,
    doubts: BuildDoubts,
    build: string,
  ) {
    this.#draft = draft
    this.#readers = readers
    this.#drawings = drawings
    this.#parts = parts
    this.#doubts = doubts
    this.#at = indicesOf(readers.columns)
    this.#shared = CIRCUMSTANCES.map((meaning) => this.#at[meaning]).filter((index) => index >= 0)
    this.#build = build
  }

  /** To be called whenever the draft may have let go of parts. */
  forget(): void {
    this.#settled = null
  }

  /** What was settled for the row before, where this one says the same of everything but its value. */
  settledFor(row: readonly string[]): Settled | null {
    const settled = this.#settled
    if (settled === null) return null
    for (const index of this.#shared) if (row[index] !== settled.row[index]) return null
    return settled
  }

  /** What the row says of its part and of how it was measured, read without side effects. */
  read(row: readonly string[], serial: string): Circumstances | Fault {
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
  settle(told: Circumstances, owner: PartNumberEntry, row: readonly string[], line: number): Settled | null {
    const { serial, stage, measuredAt, buildText } = told
    if (told.part === null) this.#doubts.noteKnown(owner, buildText, stage, serial, line)
    const buildName = told.part?.buildName ?? buildText
    const isEarly = this.#doubts.isEarly(buildName, measuredAt)
    if (isEarly && this.#doubts.leavesOutEarly(buildName, measuredAt, serial, line)) return null
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
