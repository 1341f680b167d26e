import { type BalancedModel, type Combination, type MeanSquare, plus } from './balanced-analysis.ts'
import type { StudyTable } from './readings.ts'
import type { AnalysisLine } from './study-model.ts'

/** A study in which every inspector measured as many parts of his own, each equally often. */
export interface NestedBalance {
  /** Parts of each inspector, at least 2. */
  readonly parts: number
  /** Readings of each part, at least 2. */
  readonly trials: number
}

/** Null where inspectors differ in their parts or parts in their readings, or where nothing is repeated. */
export function nestedBalance({ cells, inspectors }: StudyTable): NestedBalance | null {
  const parts = cells.length / inspectors.length
  const trials = cells[0]?.moments.n ?? 0
  if (!Number.isInteger(parts) || parts < 2 || trials < 2 || inspectors.length < 2) return null
  const counts = inspectors.map((_, j) => cells.filter(({ inspector }) => inspector === j).length)
  const even = counts.every((count) => count === parts) && cells.every(({ moments }) => moments.n === trials)
  return even ? { parts, trials } : null
}

/**
 * Sums of squares of repeated readings in parts in inspectors.
 *
 * Source: H. Scheffé, The Analysis of Variance (1959), section 5.3 (section from memory).
 */
export function nestedSquares(
  { cells, inspectors }: StudyTable,
  { parts, trials }: NestedBalance,
): MeanSquare[] {
  // Means as deviations from one reading, so that sizes do not swamp what they differ by.
  const origin = cells[0]?.moments.mean ?? 0
  const own = inspectors.map((_, j) =>
    cells.filter(({ inspector }) => inspector === j).map(({ moments }) => moments.mean - origin),
  )
  const means = own.map(mean)
  const grand = mean(means)
  const between = means.reduce((sum, each) => sum + (each - grand) ** 2, 0)
  const inside = own.reduce(
    (sum, each, j) => sum + each.reduce((squares, part) => squares + (part - (means[j] as number)) ** 2, 0),
    0,
  )
  const o = inspectors.length
  return (
    [
      ['inspector', o - 1, parts * trials * between],
      ['part', o * (parts - 1), trials * inside],
      ['repeatability', o * parts * (trials - 1), cells.reduce((sum, { moments }) => sum + moments.m2, 0)],
    ] as const
  ).map(([source, df, sumOfSquares]) => ({ source, df, sumOfSquares, meanSquare: sumOfSquares / df }))
}

/** What each line of a nested analysis is tested against: the level below. */
export const NESTED_AGAINST: Readonly<Partial<Record<AnalysisLine['source'], AnalysisLine['source']>>> = {
  inspector: 'part',
  part: 'repeatability',
}

/**
 * The components as combinations of expected mean squares, from the random model E[inspector] = e + r·p + n·r·o,
 * E[part] = e + r·p, E[repeatability] = e, with n parts to an inspector and r readings of a part.
 * Source: as `nestedSquares`, section 7.6 (section from memory).
 */
export function nestedModel(squares: readonly MeanSquare[], { parts, trials }: NestedBalance): BalancedModel {
  const repeatability: Combination = { repeatability: 1 }
  const part: Combination = { part: 1 / trials, repeatability: -1 / trials }
  const inspector: Combination = { inspector: 1 / (parts * trials), part: -1 / (parts * trials) }
  const gauge = plus(repeatability, inspector)
  return {
    squares,
    combinations: {
      repeatability,
      part,
      inspector,
      reproducibility: inspector,
      gauge,
      total: plus(gauge, part),
    },
  }
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}
