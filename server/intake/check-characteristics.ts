import { KINDS_WITH_FLOOR } from '../../src/domain/characteristic.ts'
import type { ImportChoices } from '../contract/receipt.ts'
import type { CharacteristicTable } from '../store/schema.ts'
import type { Writer } from '../store/writer.ts'
import { CollectingChecker } from './collecting-checker.ts'
import {
  type Definition,
  definitionTexts,
  isFault,
  lacksDefinition,
  numberIn,
  readDefinition,
} from './definition.ts'
import type { CharacteristicEntry, Draft, PartNumberEntry } from './draft.ts'
import { DrawingFinder } from './drawing.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import type { Notes } from './notes.ts'
import { readSides } from './own-limits-stated.ts'
import {
  field,
  indicesOf,
  type LateFault,
  nameTooLong,
  own,
  type Readers,
  tooLongForName,
} from './row-checker.ts'

/** Checks rows that define characteristics. A row states a characteristic whole: an empty limit is no limit. */
export class CharacteristicChecker extends CollectingChecker {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #drawings: DrawingFinder
  readonly #at: Readonly<Record<Meaning, number>>
  readonly #measured = new Map<number, boolean>()
  /** Line on which this file defined each characteristic. */
  readonly #definedOn = new Map<number, number>()
  #unitsAssumed = 0

  constructor(writer: Writer, draft: Draft, notes: Notes, readers: Readers, choices: ImportChoices) {
    super()
    this.#writer = writer
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#drawings = new DrawingFinder(draft, readers.columns, choices)
    this.#at = indicesOf(readers.columns)
  }

  override get couldNamePartNumber(): boolean {
    return this.#drawings.couldBeNamed
  }

  async prepare(rows: readonly (readonly string[])[]): Promise<void> {
    for (const row of rows) {
      const entry = this.#known(this.#drawings.peek(row), row)
      if (entry === null || entry.isNew || this.#measured.has(entry.row.id)) continue
      this.#measured.set(entry.row.id, await this.#writer.hasMeasurements(entry.row.id))
    }
  }

  check(row: readonly string[], line: number): Fault | null {
    const at = this.#at
    const drawing = this.#drawings.find(row)
    if (isFault(drawing)) return drawing
    const designator = field(row, at.characteristic) || field(row, at.characteristicName)
    if (designator === '') {
      return {
        meaning: 'characteristic',
        value: '',
        reason: 'The row names no characteristic. Give its designator.',
      }
    }
    const name = field(row, at.characteristicName) || designator
    if (tooLongForName(designator)) return nameTooLong('characteristic', designator)
    if (tooLongForName(name)) return nameTooLong('characteristicName', name)
    const partName = field(row, at.partName)
    if (tooLongForName(partName)) return nameTooLong('partName', partName)
    const definition = readDefinition(definitionTexts(row, at, this.#readers.columns), this.#readers.numbers)
    if (isFault(definition)) return definition

    const known = this.#known(drawing.entry, row)
    const requirement = this.#stated(known, definition, name)
    const sides =
      at.ownLimits < 0
        ? (known?.row.own_limits ?? null)
        : readSides(field(row, at.ownLimits), requirement.kind, requirement)
    if (sides !== null && typeof sides === 'object') return sides
    const stated = { ...requirement, own_limits: sides }
    if (known !== null) {
      const fault = this.#mayChange(known, stated, designator)
      if (fault !== null) return fault
    }

    const owner = drawing.entry ?? this.#drawings.add(drawing, this.#notes)
    this.partNumbers.add(owner.row.id)
    if (partName !== '' && partName !== owner.row.name) {
      owner.row.name = own(partName)
      this.#draft.savePartNumber(owner.row)
    }
    if (definition.unit === null && known === null) this.#unitsAssumed++
    this.#put(known, owner, own(designator), stated, definition.floorLeftOff, line)
    return null
  }

  async finish(): Promise<readonly LateFault[]> {
    await this.#draft.save(this.#writer)
    if (this.#unitsAssumed > 0) {
      this.#notes.say(
        `${this.#unitsAssumed} ${this.#unitsAssumed === 1 ? 'row says' : 'rows say'} no unit: mm was taken.`,
      )
    }
    return []
  }

  #known(partNumber: PartNumberEntry | null, row: readonly string[]): CharacteristicEntry | null {
    const designator = field(row, this.#at.characteristic) || field(row, this.#at.characteristicName)
    return partNumber?.byDesignator.get(designator) ?? null
  }

  #stated(known: CharacteristicEntry | null, definition: Definition, name: string) {
    const kind = definition.kind ?? known?.row.kind ?? 'other'
    const unit = definition.unit ?? known?.row.unit ?? 'mm'
    const lower = numberIn(unit, definition, 'lower')
    return {
      name: own(name),
      kind,
      nominal: numberIn(unit, definition, 'nominal'),
      lower: lower !== null && lower <= 0 && KINDS_WITH_FLOOR.has(kind) ? null : lower,
      upper: numberIn(unit, definition, 'upper'),
      unit,
      axis: this.#at.axis < 0 ? (known?.row.axis ?? null) : definition.axis,
    }
  }

  /** Parts already measured were judged by the limits on record, which therefore stand. */
  #mayChange(known: CharacteristicEntry, stated: Stated, designator: string): Fault | null {
    if (known.row.own_limits !== stated.own_limits && this.#measured.get(known.row.id) === true) {
      return {
        meaning: 'ownLimits',
        value: '',
        reason:
          `The values of characteristic ${designator} on record were judged by ${known.row.own_limits === null ? 'the limits of the drawing' : 'limits of each part’s own'}, and cannot be judged otherwise from now on. ` +
          'Give it another designator, or a new revision, and bring the file again.',
      }
    }
    const changed = changedLimit(known.row, stated)
    if (changed === null) return null
    const before = this.#definedOn.get(known.row.id)
    if (before !== undefined) {
      return {
        meaning: changed,
        value: String(stated[changed] ?? ''),
        reason: `Characteristic ${designator} is defined otherwise on line ${before} of this file. Keep the line that is right.`,
      }
    }
    if (lacksDefinition(known.row) && changed !== 'unit') return null
    if (this.#measured.get(known.row.id) !== true) return null
    return {
      meaning: changed,
      value: String(stated[changed] ?? ''),
      reason:
        `The ${LIMIT_IN_WORDS[changed]} of characteristic ${designator} is ${known.row[changed] ?? 'absent'} on record, and parts were measured against it. ` +
        'A changed drawing is a new revision: give the new revision in the revision column, and bring the file again.',
    }
  }

  #put(
    known: CharacteristicEntry | null,
    owner: PartNumberEntry,
    designator: string,
    stated: Stated,
    floorLeftOff: boolean,
    line: number,
  ): void {
    const label = `${owner.row.number} ${owner.row.revision}`
    let entry = known
    if (entry === null) {
      entry = this.#draft.addCharacteristic({ part_number_id: owner.row.id, designator, ...stated })
      this.#notes.gather(`Characteristics of ${label} were created: ….`, designator)
    } else if ((Object.keys(stated) as (keyof Stated)[]).some((key) => known?.row[key] !== stated[key])) {
      this.#draft.changeCharacteristic(entry, stated)
      this.#notes.gather(`Characteristics of ${label} were changed: ….`, designator)
    }
    if (floorLeftOff) {
      this.#notes.gather(
        'A lower limit at or below zero says nothing where values cannot be below zero, and was left off: ….',
        designator,
      )
    }
    this.#definedOn.set(entry.row.id, line)
  }
}

type Stated = Omit<CharacteristicTable, 'id' | 'part_number_id' | 'designator'>

const LIMIT_IN_WORDS = {
  nominal: 'nominal',
  lower: 'lower limit',
  upper: 'upper limit',
  unit: 'unit',
} as const

function changedLimit(row: CharacteristicTable, stated: Stated): keyof typeof LIMIT_IN_WORDS | null {
  const changed = (['unit', 'nominal', 'lower', 'upper'] as const).find((key) => row[key] !== stated[key])
  return changed ?? null
}
