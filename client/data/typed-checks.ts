import type { DoubtKind } from '../../server/contract/receipt.ts'
import type { MeasuredPart, TypingView } from '../../server/contract/typing.ts'
import { mergedSpreads } from '../../src/checks/expectation.ts'
import { ValueWatch, type Watched, type WatchedValue } from '../../src/checks/value-watch.ts'
import { STAGES } from '../../src/domain/cell.ts'
import {
  type Characteristic,
  isStated,
  KINDS_WITH_FLOOR,
  type StatedLimits,
  writtenUnit,
} from '../../src/domain/characteristic.ts'
import { inOwnTolerance } from '../../src/domain/own-limits.ts'
import { timeText } from '../words/quantities.ts'
import { isOwnFault, type OwnField, typedLimits } from './typed-own-limits.ts'
import { decimalOf, filledCells, type TypedRow, type TypedSheet } from './typed-sheet.ts'

/** What a check found in one cell. */
export interface TypedRemark {
  readonly row: number
  readonly designator: string
  /** fault: it cannot be taken in. doubt: it may be a slip. outside: it does not meet its requirement. */
  readonly kind: 'fault' | 'doubt' | 'outside'
  readonly text: string
  /** Of limits of the part's own, where the fault lies beside the value. */
  readonly field?: OwnField
  /** The value that was probably meant. */
  readonly likely: string | null
  /** Of a doubt, what makes it one. */
  readonly doubt: DoubtKind | null
  /** True where it was decided: kept as measured. */
  readonly isKept: boolean
}

/**
 * What the checks of the intake say of the values as they stand, in the order of the file.
 *
 * @param parts what is on record of the parts, by serial number, as far as it is known
 */
export function remarksOf(
  sheet: TypedSheet,
  view: TypingView,
  parts: ReadonlyMap<string, MeasuredPart> = new Map(),
): TypedRemark[] {
  const watch = new ValueWatch<WatchedValue & { readonly row: number }>()
  for (const { characteristicId, stage, ...moments } of mergedSpreads(view.spreads)) {
    watch.learn(characteristicId, stage, moments)
  }
  const byDesignator = new Map(view.characteristics.map((each) => [each.designator, each]))
  const stage = STAGES.indexOf(sheet.stage)
  const remarks: TypedRemark[] = []
  /** Parts of which it was said that they are of another build. */
  const told = new Set<number>()
  for (const { row, serial, designator, cell } of filledCells(sheet)) {
    const characteristic = byDesignator.get(designator)
    if (characteristic === undefined) continue
    const say = (kind: 'fault' | 'outside', text: string, field?: OwnField) =>
      remarks.push({
        row,
        designator,
        kind,
        text,
        likely: null,
        doubt: null,
        isKept: false,
        ...(field === undefined ? {} : { field }),
      })
    const doubt = (
      at: { row: number; designator: string },
      doubt: DoubtKind,
      text: string,
      likely: string | null,
    ) => {
      const isKept = sheet.rows[at.row]?.cells[at.designator]?.kept?.includes(doubt) ?? false
      const { row, designator } = at
      remarks.push({ row, designator, kind: 'doubt', text, likely, doubt, isKept })
    }
    if (serial === '') say('fault', 'The part has no serial number yet.')
    const part = parts.get(serial)
    if (part !== undefined && part.build !== null && part.build !== sheet.build && !told.has(row)) {
      told.add(row)
      say('fault', `Part ${serial} is on record in build ${part.build}, not ${sheet.build}.`)
    }
    const decimal = decimalOf(cell.text)
    if (decimal === null) {
      say('fault', `“${cell.text}” is not a number.`)
      continue
    }
    const value = Number(decimal)
    if (value < 0 && KINDS_WITH_FLOOR.has(characteristic.kind)) {
      say('fault', `A value of ${characteristic.kind} cannot be below zero.`)
      continue
    }
    const before = part?.values.findLast((each) => each.designator === designator)
    if (before !== undefined) {
      const when = before.measuredAt === null ? 'it does not say when' : timeText(before.measuredAt)
      doubt(
        { row, designator },
        'measured-before',
        `Measured before: ${before.value} ${writtenUnit(characteristic)} in import ${before.importId} (${when}). Kept, this value is a repeat beside it.`,
        null,
      )
    }
    const limits = isStated(characteristic) ? null : typedLimits(characteristic, sheet.rows[row] as TypedRow)
    if (limits !== null && isOwnFault(limits)) {
      say('fault', limits.text, limits.field)
      continue
    }
    const judged = limits === null ? value : (inOwnTolerance(value, limits) as number)
    const watched = watchedAs(characteristic)
    if (!watch.expects(watched, stage, 1, judged)) {
      const written = {
        part: serial,
        serial,
        characteristic: watched,
        stage,
        replicate: 1,
        value: judged,
        ...(limits === null ? {} : { judged: (each: number) => inOwnTolerance(each, limits) as number }),
        decimal,
        written: cell.text,
      }
      const found = watch.explain({ ...written, row })
      if (found !== null) {
        // What a slip explains is no finding about the part.
        if (found.kind === 'exchanged') {
          const { other } = found
          doubt(
            { row: other.row, designator: other.characteristic.designator },
            found.kind,
            found.text,
            decimal,
          )
        }
        doubt({ row, designator }, found.kind, found.text, found.likely)
        continue
      }
    }
    const outside =
      sheet.stage === 'green'
        ? null
        : outsideWords(value, { ...(limits ?? characteristic), unit: writtenUnit(characteristic) })
    if (outside !== null) say('outside', outside)
  }
  return remarks
}

/** Whether a remark leaves its value out of what is made of the sheet: it is none, or nothing is decided of it yet. */
export function isOpen({ kind, isKept }: TypedRemark): boolean {
  return kind === 'fault' || (kind === 'doubt' && !isKept)
}

/**
 * What is to be expected of its values: in units of the part's own tolerance, nothing but zero and more of forms and
 * positions.
 */
function watchedAs(characteristic: Characteristic): Watched {
  if (isStated(characteristic)) return characteristic
  const limits = KINDS_WITH_FLOOR.has(characteristic.kind) ? {} : { lower: null, upper: null }
  return { ...characteristic, ...limits, unit: (characteristic.ownLimits as StatedLimits).unit }
}

/** How far a value is beyond its limit, in words; null where it meets them. */
export function outsideWords(
  value: number,
  { lower, upper, unit }: Pick<Characteristic, 'lower' | 'upper' | 'unit'>,
): string | null {
  const by = (distance: number) => String(Number(distance.toPrecision(6)))
  if (lower !== null && value < lower)
    return `Out of specification: ${by(lower - value)} ${unit} below ${lower}.`
  if (upper !== null && value > upper)
    return `Out of specification: ${by(value - upper)} ${unit} above ${upper}.`
  return null
}
