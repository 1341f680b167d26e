import { csvField } from '../csv-field.ts'
import { ArgumentError } from '../errors.ts'
import { type RandomSource, randomSource } from '../numbers/random-source.ts'

/** One reading to be taken. */
export interface SheetLine {
  /** From 1, in the order in which to measure. */
  readonly order: number
  /** From 1. */
  readonly trial: number
  readonly inspector: string
  readonly part: string
}

/**
 * In which order to take the readings of a gauge study: trial after trial, in each the inspectors one after the other
 * in random order, and each of them all parts in an order drawn anew, so that nobody remembers a reading and a drift of
 * the gauge does not pass for a difference between parts.
 *
 * @param parts names, all different, at least one
 * @param inspectors names, all different, at least one; a single name for a machine
 * @param trials whole number from 1 up
 * @param seed whole number; the same one gives the same order
 * @throws ArgumentError where names are missing or repeated, or a number is not whole or out of range
 */
export function measuringSheet(
  parts: readonly string[],
  inspectors: readonly string[],
  trials: number,
  seed: number,
): SheetLine[] {
  for (const [argument, names] of [
    ['parts', parts],
    ['inspectors', inspectors],
  ] as const) {
    if (names.length === 0) throw new ArgumentError(argument, 'there is none')
    if (new Set(names).size < names.length) throw new ArgumentError(argument, 'a name stands twice')
  }
  if (!(Number.isInteger(trials) && trials >= 1)) {
    throw new ArgumentError('trials', `${trials} is not a whole number from 1 up`)
  }
  const random = randomSource(seed)
  const lines: SheetLine[] = []
  for (let trial = 1; trial <= trials; trial++) {
    for (const inspector of shuffled(inspectors, random)) {
      for (const part of shuffled(parts, random)) {
        lines.push({ order: lines.length + 1, trial, inspector, part })
      }
    }
  }
  return lines
}

/**
 * The sheet as CSV (RFC 4180) with an empty column for the readings. Every row names its plan, so that rows may be sorted
 * or left out, and the intake knows the plan again whatever became of the rest.
 *
 * @param plan number of the plan on record
 */
export function sheetCsv(lines: readonly SheetLine[], plan: number): string {
  const rows = lines.map(({ order, trial, inspector, part }) => [
    String(plan),
    String(order),
    String(trial),
    inspector,
    part,
    '',
  ])
  return [['study_plan', 'order', 'trial', 'inspector', 'part', 'value'], ...rows]
    .map((row) => `${row.map(csvField).join(',')}\r\n`)
    .join('')
}

/** Source: R. Durstenfeld, Algorithm 235, Communications of the ACM 7 (1964), 420. */
function shuffled<T>(items: readonly T[], random: RandomSource): T[] {
  const order = [...items]
  for (let i = order.length - 1; i > 0; i--) {
    const j = random.integer(i + 1)
    const kept = order[i] as T
    order[i] = order[j] as T
    order[j] = kept
  }
  return order
}
