import type { Limits } from '../../src/capability/indices.ts'
import { KINDS_WITH_FLOOR, type WrittenUnit } from '../../src/domain/characteristic.ts'
import { type LimitSides, ownTolerance } from '../../src/domain/own-limits.ts'
import { addDecimals } from '../../src/numbers/decimal.ts'
import type { Writer } from '../store/writer.ts'
import { type Definition, isFault, numberIn } from './definition.ts'
import type { CharacteristicEntry, PartNumberEntry } from './draft.ts'
import type { Fault } from './faults.ts'
import type { Meaning } from './meaning.ts'
import { isSide, type RequirementKeeper } from './requirement-keeper.ts'
import { field, indicesOf, own, type Readers } from './row-checker.ts'
import { splitUnit } from './units.ts'

/** What a part brings of limits of its own, in the unit of the characteristic. */
export interface OwnLimits extends Limits {
  readonly sides: LimitSides
}

const NOTHING: Limits = { lower: null, upper: null }
const IN_WORDS = { lower: 'lower limit', upper: 'upper limit' } as const

/**
 * Reads limits of a part's own. A row gives them in columns that say so; in the columns of limits where the record says
 * that the characteristic has none that hold for all parts.
 */
export class OwnLimitReader {
  readonly #requirements: RequirementKeeper
  readonly #readers: Readers
  readonly #at: Readonly<Record<Meaning, number>>
  /** Characteristics that rows give limits of the part's own for, by part number and name. */
  readonly #given = new Set<string>()
  /** Whether the record has values of characteristics, where that matters. */
  readonly #measured = new Map<number, boolean>()
  /** Characteristics of which this file gave a value without such limits. */
  readonly #plain = new Set<number>()

  constructor(requirements: RequirementKeeper, readers: Readers) {
    this.#requirements = requirements
    this.#readers = readers
    this.#at = indicesOf(readers.columns)
  }

  /** Whether the file has columns for them. */
  get inColumns(): boolean {
    return this.#requirements.hasOwnColumns
  }

  /** Note which characteristics the rows give them for, before the first row is judged without. */
  async prepare(
    rows: readonly (readonly string[])[],
    partNumberOf: (row: readonly string[]) => PartNumberEntry | null,
    writer: Writer,
  ): Promise<void> {
    if (!this.inColumns) return
    const { ownUpper, ownLower, bonus } = this.#at
    for (const row of rows) {
      if ((field(row, ownUpper) || field(row, ownLower) || field(row, bonus)) === '') continue
      const partNumber = partNumberOf(row)
      const key = this.#keyOf(row)
      if (this.#given.has(key)) continue
      this.#given.add(key)
      const known = partNumber === null ? null : this.#requirements.find(partNumber, row)
      if (known === null || isFault(known) || known.isNew || known.row.own_limits !== null) continue
      this.#measured.set(known.row.id, await writer.hasMeasurements(known.row.id))
    }
  }

  /** @returns null where the value is judged by the limits of the drawing */
  read(
    row: readonly string[],
    known: CharacteristicEntry | null,
    definition: Definition | null,
    unit: WrittenUnit,
  ): OwnLimits | Fault | null {
    const sides = known?.row.own_limits ?? null
    const given = this.inColumns
      ? this.#inOwnColumns(row, known, definition, unit)
      : definition === null
        ? NOTHING
        : { lower: numberIn(unit, definition, 'lower'), upper: numberIn(unit, definition, 'upper') }
    if (isFault(given)) return given
    if (given.lower === null && given.upper === null) {
      const awaited = sides !== null || (this.#mayTake(known) && this.#given.has(this.#keyOf(row)))
      return awaited ? this.#missing(row, sides ?? 'upper') : null
    }
    if (!this.#mayTake(known)) {
      return this.#fault(
        row,
        given.upper === null ? 'lower' : 'upper',
        `Characteristic ${known?.row.designator} takes no limits of the part’s own: its values are judged by those of the drawing. Leave the limit or bonus out, or bring such values under a designator of their own or a new revision.`,
      )
    }
    const kind = known?.row.kind ?? definition?.kind ?? 'other'
    const floored = KINDS_WITH_FLOOR.has(kind)
    const lower = floored && given.lower !== null && given.lower <= 0 ? null : given.lower
    const brought = sides ?? sidesOf({ ...given, lower })
    if (this.inColumns && lower !== null && !isSide(brought, 'lower'))
      return this.#surplus(row, 'lower', known)
    if (this.inColumns && given.upper !== null && !isSide(brought, 'upper'))
      return this.#surplus(row, 'upper', known)
    const limits = {
      lower: isSide(brought, 'lower') ? lower : null,
      upper: isSide(brought, 'upper') ? given.upper : null,
    }
    for (const side of ['lower', 'upper'] as const) {
      if (isSide(brought, side) && limits[side] === null) return this.#missing(row, side)
    }
    return this.#checked(row, brought, limits, known, definition, unit)
  }

  /** Note that a value was judged by the limits of the drawing. */
  notePlain(known: CharacteristicEntry): void {
    if (this.inColumns) this.#plain.add(known.row.id)
  }

  /** Whether values of the characteristic may be judged by limits of the part's own: not beside others that were not. */
  #mayTake(known: CharacteristicEntry | null): boolean {
    if (known === null || known.row.own_limits !== null) return true
    return !this.#plain.has(known.row.id) && (known.isNew || this.#measured.get(known.row.id) === false)
  }

  #inOwnColumns(
    row: readonly string[],
    known: CharacteristicEntry | null,
    definition: Definition | null,
    unit: WrittenUnit,
  ): Limits | Fault {
    const upper = this.#number(row, 'ownUpper', unit, known)
    if (upper !== null && typeof upper === 'object') return upper
    const lower = this.#number(row, 'ownLower', unit, known)
    if (lower !== null && typeof lower === 'object') return lower
    const bonus = this.#number(row, 'bonus', unit, known)
    if (bonus === null || typeof bonus === 'object') return bonus ?? { lower, upper }
    const text = field(row, this.#at.bonus)
    const fault = (reason: string): Fault => ({ meaning: 'bonus', value: text, reason })
    if (bonus < 0)
      return fault('A bonus adds to the tolerance and cannot be negative. It is 0 at maximum material size.')
    const stated = statedLimit('upper', known, definition, unit)
    if (stated === null) {
      return fault(
        'A bonus needs the stated tolerance to be added to. Give it in a column for the upper limit or tolerance, or bring a file that defines the characteristic first.',
      )
    }
    const total = Number(addDecimals(String(stated), String(bonus)))
    if (upper !== null && upper !== total) {
      return fault(
        `The stated tolerance ${stated} and the bonus ${bonus} make ${total}, but the row gives ${upper} for the limit of the part’s own. Correct whichever is wrong.`,
      )
    }
    return { lower, upper: total }
  }

  #number(
    row: readonly string[],
    meaning: 'ownUpper' | 'ownLower' | 'bonus',
    unit: WrittenUnit,
    known: CharacteristicEntry | null,
  ): number | Fault | null {
    const written = field(row, this.#at[meaning])
    if (written === '') return null
    const parts = splitUnit(written)
    const text = parts?.number ?? written
    const value = this.#readers.numbers.read(text)
    if (Number.isNaN(value)) return { meaning, value: written, reason: this.#readers.numbers.reason }
    return this.#requirements.inUnit(value, text, row, unit, known, parts?.unit ?? null, meaning)
  }

  #checked(
    row: readonly string[],
    sides: LimitSides,
    limits: Limits,
    known: CharacteristicEntry | null,
    definition: Definition | null,
    unit: WrittenUnit,
  ): OwnLimits | Fault {
    const { lower, upper } = limits
    if (ownTolerance(limits) === null) {
      return sides === 'both'
        ? this.#fault(
            row,
            'upper',
            `The part’s own upper limit ${upper} is not above its own lower limit ${lower}.`,
          )
        : this.#fault(
            row,
            sides,
            `A ${IN_WORDS[sides]} of the part’s own must be above zero, since the value is judged as a multiple of it.`,
          )
    }
    for (const side of ['lower', 'upper'] as const) {
      const limit = limits[side]
      // Without columns of their own, what the row says are the part's own limits alone.
      const stated = statedLimit(side, known, this.inColumns ? definition : null, unit)
      if (limit === null || stated === null) continue
      if (side === 'upper' ? limit >= stated : limit <= stated) continue
      return this.#fault(
        row,
        side,
        `The part’s own ${IN_WORDS[side]} ${limit} is tighter than the ${stated} that the drawing states. A bonus adds to the tolerance; it takes nothing away.`,
      )
    }
    return { ...limits, sides }
  }

  #missing(row: readonly string[], side: LimitSides): Fault {
    const words = side === 'both' ? 'limits' : `${side === 'lower' ? 'a' : 'an'} ${IN_WORDS[side]}`
    return this.#fault(
      row,
      side === 'lower' ? 'lower' : 'upper',
      `Each part of this characteristic is judged by ${words} of its own, and the row gives none. Give the limit, or the bonus: 0 where there is none.`,
    )
  }

  #surplus(row: readonly string[], side: 'lower' | 'upper', known: CharacteristicEntry | null): Fault {
    return this.#fault(
      row,
      side,
      `Characteristic ${known?.row.designator ?? ''} takes no ${IN_WORDS[side]} of the part’s own. Leave it out.`,
    )
  }

  #fault(row: readonly string[], side: 'lower' | 'upper', reason: string): Fault {
    const at = this.#at
    const columns: readonly Meaning[] = this.inColumns
      ? side === 'lower'
        ? ['ownLower']
        : ['ownUpper', 'bonus']
      : side === 'lower'
        ? ['lower', 'minusTolerance']
        : ['upper', 'tolerance', 'plusTolerance']
    const there = columns.filter((meaning) => at[meaning] >= 0)
    const meaning = there.find((each) => field(row, at[each]) !== '') ?? there[0] ?? null
    return { meaning, value: meaning === null ? '' : field(row, at[meaning]), reason }
  }

  #keyOf(row: readonly string[]): string {
    const { partNumber, revision, characteristic, characteristicName } = this.#at
    const name = field(row, characteristic) || field(row, characteristicName)
    return own(`${field(row, partNumber)}/${field(row, revision)}/${name}`)
  }
}

function sidesOf({ lower, upper }: Limits): LimitSides {
  return lower === null ? 'upper' : upper === null ? 'lower' : 'both'
}

function statedLimit(
  side: 'lower' | 'upper',
  known: CharacteristicEntry | null,
  definition: Definition | null,
  unit: WrittenUnit,
): number | null {
  return known?.row[side] ?? (definition === null ? null : numberIn(unit, definition, side))
}
