import type { DoubtKind } from '../../server/contract/receipt.ts'
import type { MeasuredPart, TypingView } from '../../server/contract/typing.ts'
import { mergedSpreads } from '../../src/checks/expectation.ts'
import { ValueWatch, type WatchedValue } from '../../src/checks/value-watch.ts'
import { STAGES } from '../../src/domain/cell.ts'
import { type Characteristic, KINDS_WITH_FLOOR } from '../../src/domain/characteristic.ts'
import { timeText } from '../words/quantities.ts'
import { decimalOf, filledCells, type TypedSheet } from './typed-sheet.ts'

/** What a check found in one cell. */
export interface TypedRemark {
  readonly row: number
  readonly designator: string
  /** fault: it cannot be taken in. doubt: it may be a slip. outside: it does not meet its requirement. */
  readonly kind: 'fault' | 'doubt' | 'outside'
  readonly text: string
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
    const say = (kind: 'fault' | 'outside', text: string) =>
      remarks.push({ row, designator, kind, text, likely: null, doubt: null, isKept: false })
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
        `Measured before: ${before.value} ${characteristic.unit} in import ${before.importId} (${when}). Kept, this value is a repeat beside it.`,
        null,
      )
    }
    if (!watch.expects(characteristic, stage, 1, value)) {
      const written = {
        part: serial,
        serial,
        characteristic,
        stage,
        replicate: 1,
        value,
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
    const outside = sheet.stage === 'green' ? null : outsideWords(value, characteristic)
    if (outside !== null) say('outside', outside)
  }
  return remarks
}

/** Whether a remark leaves its value out of what is made of the sheet: it is none, or nothing is decided of it yet. */
export function isOpen({ kind, isKept }: TypedRemark): boolean {
  return kind === 'fault' || (kind === 'doubt' && !isKept)
}

/** How far a value is beyond its limit, in words; null where it meets them. */
export function outsideWords(value: number, { lower, upper, unit }: Characteristic): string | null {
  const by = (distance: number) => String(Number(distance.toPrecision(6)))
  if (lower !== null && value < lower)
    return `Out of specification: ${by(lower - value)} ${unit} below ${lower}.`
  if (upper !== null && value > upper)
    return `Out of specification: ${by(value - upper)} ${unit} above ${upper}.`
  return null
}
