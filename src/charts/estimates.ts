import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import type { Moments } from '../description/moments.ts'
import { normalUpperQuantile } from '../distributions/normal.ts'
import type { StepEstimator, WithinEstimator } from './study.ts'

/** A standard deviation with the degrees of freedom that it rests on. */
export interface SigmaEstimate {
  readonly sigma: number
  readonly df: number
}

/**
 * Standard deviation inside subgroups, in the unit of the values.
 *
 * Sources stand at each estimator below.
 *
 * @param subgroups moments of the baseline subgroups, of any sizes
 * @returns null where no subgroup has two values
 */
export function sigmaWithin(subgroups: readonly Moments[], estimator: WithinEstimator): SigmaEstimate | null {
  if (estimator === 'pooled-s') return pooledDeviation(subgroups)
  return estimator === 'average-s'
    ? weightedAverage(
        subgroups,
        (group) => Math.sqrt(group.m2 / (group.n - 1)),
        c4,
        (n) => Math.sqrt(1 - c4(n) ** 2),
      )
    : weightedAverage(subgroups, (group) => group.max - group.min, d2, d3)
}

/**
 * Standard deviation inside subgroups of any sizes: the pooled s over c4(ν + 1), which makes it unbiased.
 *
 * Source: I. W. Burr, Statistical Quality Control Methods (1976), section 3.3; ISO 7870-2, annex on estimators.
 *
 * @param subgroups moments, in the unit of the values
 * @returns null where no subgroup has two values
 */
function pooledDeviation(subgroups: readonly Moments[]): SigmaEstimate | null {
  let squares = 0
  let df = 0
  for (const subgroup of subgroups) {
    squares += subgroup.m2
    df += subgroup.n - 1
  }
  if (df === 0) return null
  return { sigma: Math.sqrt(squares / df) / c4(df + 1), df }
}

/**
 * Average s over c4, or average range over d2, the subgroups weighted by what each tells: a statistic with mean
 * m(n) σ and standard deviation e(n) σ gives the estimate statistic / m(n), whose weight is (m(n) / e(n))². For equal
 * sizes this is the plain average over the constant.
 *
 * Source: I. W. Burr, Journal of Quality Technology 1 (1969), 163–167.
 */
function weightedAverage(
  subgroups: readonly Moments[],
  statistic: (group: Moments) => number,
  mean: (n: number) => number,
  error: (n: number) => number,
): SigmaEstimate | null {
  let sum = 0
  let weights = 0
  for (const group of subgroups) {
    if (group.n < 2) continue
    const weight = (mean(group.n) / error(group.n)) ** 2
    sum += (weight * statistic(group)) / mean(group.n)
    weights += weight
  }
  // The estimate's relative variance is 1 / weights, that of a standard deviation with half as many degrees of freedom.
  return weights === 0 ? null : { sigma: sum / weights, df: weights / 2 }
}

/**
 * Average or median of the absolute differences of neighbours, in the unit of the values; null for fewer than two.
 */
export function centralMovingRange(values: readonly number[], estimator: StepEstimator): number | null {
  if (values.length < 2) return null
  const ranges = values.slice(1).map((value, i) => Math.abs(value - (values[i] as number)))
  if (estimator === 'average') return ranges.reduce((sum, range) => sum + range, 0) / ranges.length
  ranges.sort((a, b) => a - b)
  const middle = ranges.length / 2
  return ((ranges[Math.ceil(middle) - 1] as number) + (ranges[Math.floor(middle)] as number)) / 2
}

/** Median of the absolute difference of two normal values, in their standard deviation: √2 times the third quartile. */
const MEDIAN_RANGE = Math.SQRT2 * normalUpperQuantile(0.25)

/**
 * Share of a difference's information that the average or median moving range keeps, as degrees of freedom a
 * difference. Average: its relative variance is 0.8264 / m for m differences, that of a standard deviation with
 * 0.605 m degrees of freedom, from E|d₁d₂| of neighbouring differences, which correlate by −1/2 (A. Hald,
 * Statistical Theory with Engineering Applications (1952), section 13.5, from memory). Median: found by simulation.
 * Both are recomputed in the tests.
 */
const INFORMATION: Record<StepEstimator, number> = { average: 0.605, median: 0.305 }

/**
 * Standard deviation of individual values from neighbours only, so that slow shifts count little: average moving
 * range over d2(2), or median moving range over 0.954, which a few single steps do not move either.
 *
 * @param values in the order of time
 * @returns null for fewer than two values; `df` is the equivalent degrees of freedom, not a whole number
 */
export function sigmaFromMovingRange(
  values: readonly number[],
  estimator: StepEstimator,
): SigmaEstimate | null {
  const range = centralMovingRange(values, estimator)
  if (range === null) return null
  return {
    sigma: range / (estimator === 'average' ? d2(2) : MEDIAN_RANGE),
    df: INFORMATION[estimator] * (values.length - 1),
  }
}
