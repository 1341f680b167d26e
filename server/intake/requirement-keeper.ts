import { convertWritten } from '../../src/checks/convert-written.ts'
import { KINDS_WITH_FLOOR, type WrittenUnit } from '../../src/domain/characteristic.ts'
import type { LimitSides } from '../../src/domain/own-limits.ts'
import type { ImportChoices } from '../contract/receipt.ts'
import { naturalOrder } from '../store/natural-order.ts'
import {
  type Definition,
  defines,
  definitionTexts,
  differenceFrom,
  isFault,
  lacksDefinition,
  numberIn,
  readDefinition,
} from './definition.ts'
import type { CharacteristicEntry, Draft, PartNumberEntry } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import type { Notes } from './notes.ts'
import { field, indicesOf, nameTooLong, own, type Readers, tooLongForName } from './row-checker.ts'
import { readUnit } from './units.ts'

/** Designators that a refusal spells out. */
const NAMED = 40

/** Finds, compares and creates the characteristic that a row of measurements speaks of. */
export class RequirementKeeper {
  readonly #draft: Draft
  readonly #notes: Notes
  readonly #readers: Readers
  readonly #choices: ImportChoices
  readonly #at: Readonly<Record<Meaning, number>>
  /** True where the file has a column that defines characteristics. */
  readonly #definesHere: boolean
  /** True where the file has a column for limits of the part's own, so that the others are those of the drawing. */
  readonly hasOwnColumns: boolean
  /** Number of values converted, by "unit to unit". */
  readonly converted = new Map<string, number>()
  /** True once a row was refused that converting units would save. */
  couldConvertUnits = false

  constructor(draft: Draft, notes: Notes, readers: Readers, choices: ImportChoices) {
    this.#draft = draft
    this.#notes = notes
    this.#readers = readers
    this.#choices = choices
    const at = indicesOf(readers.columns)
    this.#at = at
    this.hasOwnColumns = Math.max(at.ownUpper, at.ownLower, at.bonus) >= 0
    this.#definesHere =
      Math.max(at.nominal, at.lower, at.upper, at.tolerance, at.plusTolerance, at.minusTolerance) >= 0
  }

  /** The characteristic on record that the row speaks of, by designator or else by exact name; null where none. */
  find(partNumber: PartNumberEntry, row: readonly string[]): CharacteristicEntry | Fault | null {
    const designator = field(row, this.#at.characteristic)
    const found = partNumber.byDesignator.get(designator)
    if (found !== undefined) return found
    const name = designator === '' ? field(row, this.#at.characteristicName) : designator
    const named = partNumber.byName.get(name)
    if (named === null) {
      return {
        meaning: 'characteristic',
        value: name,
        reason: 'More than one characteristic has this name. Give the designator instead.',
      }
    }
    return named ?? null
  }

  /**
   * What the row says of the characteristic itself: null where nothing, or nothing that is not known already.
   */
  read(
    known: CharacteristicEntry | null,
    partNumber: PartNumberEntry | null,
    row: readonly string[],
  ): Definition | Fault | null {
    const at = this.#at
    if (known !== null && !this.#definesHere) return null
    if (known !== null && !this.limitsAreOwn(known) && this.#textsOf(row) === known.agreed) return null
    const name = field(row, at.characteristic) || field(row, at.characteristicName)
    if (name === '') {
      return {
        meaning: 'characteristic',
        value: '',
        reason: 'The row names no characteristic. Give its designator.',
      }
    }
    for (const meaning of ['characteristic', 'characteristicName'] as const) {
      if (tooLongForName(field(row, at[meaning]))) return nameTooLong(meaning, field(row, at[meaning]))
    }
    const definition = readDefinition(
      definitionTexts(row, this.#at, this.#readers.columns),
      this.#readers.numbers,
      known === null ? this.#givesOwn(row) : KINDS_WITH_FLOOR.has(known.row.kind),
    )
    if (isFault(definition)) return definition
    if (known !== null) {
      const difference = differenceFrom(
        known.row,
        definition,
        this.#choices.convertUnits,
        (field) => this.limitsAreOwn(known) && isSide(known.row.own_limits, field),
      )
      if (difference?.couldConvert) this.couldConvertUnits = true
      return difference?.fault ?? definition
    }
    if (defines(definition) || this.#givesOwn(row) || partNumber === null || partNumber.isNew)
      return definition
    const designators = [...partNumber.byDesignator.keys()].sort(naturalOrder)
    const more = designators.length > NAMED ? ` and ${designators.length - NAMED} more` : ''
    return {
      meaning: at.characteristic >= 0 ? 'characteristic' : 'characteristicName',
      value: name,
      reason:
        `The part number has no characteristic of this designator or name. Known are ${designators.slice(0, NAMED).join(', ') || 'none'}${more}. ` +
        'Correct it, or bring a file that defines the characteristic first.',
    }
  }

  /** Whether what the row says in the columns of limits are those of the part's own. */
  limitsAreOwn(known: CharacteristicEntry): boolean {
    return known.row.own_limits !== null && !this.hasOwnColumns
  }

  #givesOwn(row: readonly string[]): boolean {
    const { ownUpper, ownLower, bonus } = this.#at
    return this.hasOwnColumns && (field(row, ownUpper) || field(row, ownLower) || field(row, bonus)) !== ''
  }

  /** The defining fields as one text, to know them again. */
  #textsOf(row: readonly string[]): string {
    const at = this.#at
    const limits = `${field(row, at.nominal)};${field(row, at.lower)};${field(row, at.upper)};${field(row, at.unit)}`
    if (at.tolerance < 0 && at.plusTolerance < 0 && at.minusTolerance < 0) return limits
    return `${limits};${field(row, at.tolerance)};${field(row, at.plusTolerance)};${field(row, at.minusTolerance)}`
  }

  /**
   * The value, or a limit of the part's own, in the unit of the characteristic. `attached` is the unit that stood
   * behind it.
   */
  inUnit(
    value: number,
    text: string,
    row: readonly string[],
    unit: WrittenUnit,
    known: CharacteristicEntry | null,
    attached: WrittenUnit | null,
    meaning: Meaning = 'value',
  ): number | Fault {
    const unitText = field(row, this.#at.unit)
    if (unitText === unit && attached === null) return value
    const told = unitText === '' ? this.#readers.columns.headingUnit : readUnit(unitText)
    if (attached !== null && told !== null && told !== attached) {
      return {
        meaning,
        value: text,
        reason: `The value says ${attached}, but the row says ${told}. Correct whichever is wrong.`,
      }
    }
    const given = attached ?? told
    if (given === unit || (given === null && unitText === '')) return value
    if (given === null) {
      return {
        meaning: 'unit',
        value: unitText,
        reason: 'This unit is not known. Known are mm, in, um and deg.',
      }
    }
    const converted = convertWritten(this.#readers.numbers.readDecimal(text) as string, given, unit)
    const name = known?.row.designator ?? ''
    if (converted === null) {
      return {
        meaning: unitText === '' ? meaning : 'unit',
        value: unitText || text,
        reason: `Characteristic ${name} is measured in ${unit}, which ${given} cannot be converted to.`,
      }
    }
    if (this.#choices.convertUnits) {
      const units = `${given} to ${unit}`
      if (meaning === 'value') this.converted.set(units, (this.converted.get(units) ?? 0) + 1)
      return Number(converted)
    }
    this.couldConvertUnits = true
    return {
      meaning: unitText === '' ? meaning : 'unit',
      value: unitText || text,
      reason: `The value is in ${given}, but characteristic ${name} is in ${unit}: ${text} ${given} is ${shortDecimal(converted)} ${unit}. Choose to convert units if the file is right.`,
    }
  }

  /**
   * The characteristic on the draft, created or completed where the row defines it.
   *
   * @param sides which limits of its own the part brings; null where it is judged by those of the drawing
   */
  settle(
    known: CharacteristicEntry | null,
    requirement: Definition | null,
    owner: PartNumberEntry,
    row: readonly string[],
    unit: WrittenUnit,
    sides: LimitSides | null,
  ): CharacteristicEntry {
    if (known !== null && requirement === null) return this.#judgedByOwn(known, owner, sides)
    const at = this.#at
    const label = `${owner.row.number} ${owner.row.revision}`
    let entry = known
    const limits = (definition: Definition) => ({
      nominal: numberIn(unit, definition, 'nominal'),
      lower: numberIn(unit, definition, 'lower'),
      upper: numberIn(unit, definition, 'upper'),
    })
    const definition = requirement as Definition
    if (entry === null) {
      const designator = own(field(row, at.characteristic) || field(row, at.characteristicName))
      entry = this.#draft.addCharacteristic({
        part_number_id: owner.row.id,
        designator,
        name: own(field(row, at.characteristicName) || designator),
        kind: definition.kind ?? 'other',
        ...limits(definition),
        unit,
        axis: definition.axis,
        own_limits: sides,
      })
      this.#notes.gather(
        sides !== null
          ? `Characteristics of ${label} that were not on record were created; their parts are judged by limits of their own: ….`
          : defines(definition)
            ? `Characteristics of ${label} that were not on record were created as the file defines them: ….`
            : `Characteristics of ${label} were created without limits, since the file does not give any: …. Bring a file of characteristics to add them.`,
        designator,
      )
    } else if (defines(definition) && lacksDefinition(entry.row) && !this.limitsAreOwn(entry)) {
      this.#draft.changeCharacteristic(entry, limits(definition))
      this.#notes.gather(
        `Characteristics of ${label} got the nominal and limits that they lacked: ….`,
        entry.row.designator,
      )
    }
    entry.agreed = this.#textsOf(row)
    return this.#judgedByOwn(entry, owner, sides)
  }

  /** The characteristic with the parts' own limits for what its values are judged by, from now on. */
  #judgedByOwn(
    entry: CharacteristicEntry,
    owner: PartNumberEntry,
    sides: LimitSides | null,
  ): CharacteristicEntry {
    if (sides === null || entry.row.own_limits !== null) return entry
    const { agreed } = entry
    this.#draft.changeCharacteristic(entry, { own_limits: sides })
    entry.agreed = agreed
    this.#notes.gather(
      `Parts are judged by limits of their own, which this file gives, in characteristics of ${owner.row.number} ${owner.row.revision}: ….`,
      entry.row.designator,
    )
    return entry
  }
}

/** Whether a part brings that limit. */
export function isSide(sides: LimitSides | null, side: 'nominal' | 'lower' | 'upper'): boolean {
  return sides !== null && side !== 'nominal' && (sides === 'both' || sides === side)
}

/** A converted number, to read rather than to compute with. */
function shortDecimal(text: string): string {
  return String(Number(Number(text).toPrecision(9)))
}
