import { KINDS_WITH_FLOOR, type WrittenUnit } from '../../src/domain/characteristic.ts'
import { inOwnTolerance, limitsInOwnTolerance } from '../../src/domain/own-limits.ts'
import { addDecimals } from '../../src/numbers/decimal.ts'
import type { ImportChoices, Nonconforming } from '../contract/receipt.ts'
import type { CharacteristicTable } from '../store/schema.ts'
import type { Writer } from '../store/writer.ts'
import { BuildDoubts } from './build-doubts.ts'
import { CircumstanceReader, type Circumstances } from './circumstances.ts'
import { type Definition, isFault, numberIn } from './definition.ts'
import { Doubts } from './doubts.ts'
import type { CharacteristicEntry, Draft, PartNumberEntry } from './draft.ts'
import { DrawingFinder } from './drawing.ts'
import type { Fault } from './faults.ts'
import { ValueJudge } from './judge.ts'
import type { Meaning } from './meaning.ts'
import { MeasurementWriter } from './measurement-writer.ts'
import type { Notes } from './notes.ts'
import { OwnLimitReader, type OwnLimits } from './own-limit-reader.ts'
import { PartKeeper } from './part-keeper.ts'
import { RequirementKeeper } from './requirement-keeper.ts'
import {
  field,
  indicesOf,
  own as kept,
  type LateFault,
  type Readers,
  type RowChecker,
} from './row-checker.ts'
import type { Uncertainties } from './uncertainties.ts'
import { splitUnit } from './units.ts'

/** Rows checked between two looks at whether the batch is full. */
export const ROWS_AT_ONCE = 1 << 14

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
  readonly #requirements: RequirementKeeper
  readonly #ownLimits: OwnLimitReader
  readonly #at: Readonly<Record<Meaning, number>>
  readonly doubts: Doubts
  readonly #judge: ValueJudge
  /** Part numbers whose values on record are known to the judge. */
  readonly #learnt = new Set<number>()
  readonly #buildDoubts: BuildDoubts
  readonly #circumstances: CircumstanceReader
  #missing = 0
  readonly partNumbers = new Set<number>()

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
    this.#requirements = new RequirementKeeper(draft, notes, readers, choices)
    this.#ownLimits = new OwnLimitReader(this.#requirements, readers)
    this.#at = indicesOf(readers.columns)
    this.#buildDoubts = new BuildDoubts(draft, this.doubts)
    this.#circumstances = new CircumstanceReader(
      draft,
      readers,
      this.#drawings,
      new PartKeeper(draft, notes, readers, this.#out),
      this.#buildDoubts,
      choices.build ?? '',
    )
  }

  get outOfSpecification(): number {
    return this.#out.conformity.outOfSpecification
  }

  get nonconforming(): readonly Nonconforming[] {
    return this.#out.conformity.nonconforming
  }

  get nearLimits(): readonly Nonconforming[] {
    return this.#out.conformity.nearLimits
  }

  get insideUncertainty(): number | null {
    return this.#out.conformity.insideUncertainty
  }

  get couldConvertUnits(): boolean {
    return this.#requirements.couldConvertUnits
  }

  get couldNamePartNumber(): boolean {
    return this.#drawings.couldBeNamed
  }

  async prepare(rows: readonly (readonly string[])[]): Promise<void> {
    await this.#ownLimits.prepare(rows, (row) => this.#drawings.peek(row), this.#writer)
    this.#circumstances.forget()
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
    const settled = this.#circumstances.settledFor(row)
    const serial = settled?.serial ?? field(row, at.serial)
    if (serial === '')
      return { meaning: 'serial', value: '', reason: 'The row names no part. Give its serial number.' }
    const written = field(row, at.value < 0 ? at.deviation : at.value)
    let valueText = written
    let value = this.#readers.numbers.read(written)
    let attached: WrittenUnit | null = null
    if (Number.isNaN(value)) {
      const parts = splitUnit(written)
      if (parts === null) return this.#noNumber(written)
      valueText = parts.number
      attached = parts.unit
      value = this.#readers.numbers.read(valueText)
      if (Number.isNaN(value)) return this.#noNumber(written)
    }
    const read = settled === null ? this.#circumstances.read(row, serial) : null
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
    const own =
      this.#ownLimits.inColumns || (known !== null && known.row.own_limits !== null)
        ? this.#ownLimits.read(row, known, requirement, unit)
        : null
    if (own !== null && isFault(own)) return own

    // The row is good: from here on it leaves its mark.
    const owner = partNumber ?? this.#drawings.add(told.drawing, this.#notes)
    if (settled === null) this.partNumbers.add(owner.row.id)
    const characteristic = this.#requirements.settle(known, requirement, owner, row, unit, own?.sides ?? null)
    if (own === null) this.#ownLimits.notePlain(characteristic)
    if (
      this.#leftOut(
        characteristic.row,
        serial,
        stage,
        replicate,
        measured,
        own,
        value,
        valueText,
        written,
        line,
        position,
      )
    ) {
      return null
    }
    const now = settled ?? this.#circumstances.settle(read as Circumstances, owner, row, line)
    if (now === null) return null
    const isAdded = this.#out.add(
      now.part,
      characteristic.row.id,
      stage,
      replicate,
      now.numbered,
      measured,
      own,
      now.gauge,
      now.inspector,
      now.measuredAt,
      line,
      position,
    )
    if (isAdded) return null
    const { designator } = characteristic.row
    return {
      meaning: at.value < 0 ? 'deviation' : 'value',
      value: written,
      reason: `The same line gives another value of characteristic ${designator} on part ${serial}. Pass one of the columns over, or give each repeat a replicate number of its own.`,
    }
  }

  async #learn(partNumberId: number): Promise<void> {
    this.#learnt.add(partNumberId)
    const cells = await this.#writer.spreadsOf(partNumberId)
    this.#judge.learn(cells)
    this.#buildDoubts.learn(partNumberId, cells)
  }

  /** Whether the inspector left the value out, having been shown why it is doubtful. */
  #leftOut(
    characteristic: CharacteristicTable,
    serial: string,
    stage: number,
    replicate: number,
    measured: number,
    own: OwnLimits | null,
    value: number,
    valueText: string,
    written: string,
    line: number,
    position: number,
  ): boolean {
    // Limits of a part's own were found to allow a tolerance.
    const judged = own === null ? measured : (inOwnTolerance(measured, own) as number)
    const watched = own === null ? characteristic : inUnitsOfOwn(characteristic, own)
    const expected = this.#judge.expects(watched, stage, replicate, judged)
    if (expected && !this.doubts.leavesOut('exchanged', line, position)) return false
    const decimal =
      measured === value ? (this.#readers.numbers.readDecimal(valueText) as string) : String(measured)
    const column = this.#readers.columns.headings[Math.max(this.#at.value, this.#at.deviation)] ?? null
    const seen = {
      part: kept(`${characteristic.part_number_id}/${serial}`),
      serial: kept(serial),
      characteristic: watched,
      stage,
      replicate,
      value: judged,
      decimal: kept(decimal),
      ...(own === null ? {} : { judged: (each: number) => inOwnTolerance(each, own) as number }),
      written: kept(written),
      line,
      column,
      position,
    }
    if (this.doubts.leavesOut('exchanged', line, position)) return this.#judge.leaveOut(seen)
    return this.#judge.judge(seen)
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
    unit: WrittenUnit,
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
}

/**
 * What is to be expected of values in units of the part's own tolerance; nothing but zero and more of forms and
 * positions.
 */
function inUnitsOfOwn(characteristic: CharacteristicTable, { sides }: OwnLimits): CharacteristicTable {
  const limits = KINDS_WITH_FLOOR.has(characteristic.kind)
    ? limitsInOwnTolerance(sides)
    : { lower: null, upper: null }
  return { ...characteristic, ...limits, nominal: null }
}
