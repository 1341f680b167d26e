import { betaRatioQuantile, betaRatioUpperQuantile } from '../distributions/beta-ratio-quantile.ts'
import { ArgumentError } from '../errors.ts'
import type { FractionEstimate, OutsideBy } from './fraction-outside.ts'
import type { Limits } from './indices.ts'
import { requireOrder } from './limits-order.ts'

/** How many of the values were outside, and the share of the process that this speaks for. */
export interface ObservedShare extends FractionEstimate {
  readonly count: number
}

/**
 * Values counted beyond each limit, a value exactly on it conforming, with exact binomial intervals. Those take parts as
 * independent: where builds differ they are too narrow.
 *
 * @param limits in the unit of the values
 * @param values n finite numbers, n at least 1
 * @param confidence as a fraction
 * @throws ArgumentError where there are no values, one is not finite, or the limits are crossed
 */
export function observedOutside(
  limits: Limits,
  values: ArrayLike<number>,
  confidence: number,
): OutsideBy<ObservedShare> {
  requireOrder(limits)
  const n = values.length
  if (n === 0) throw new ArgumentError('values', 'no values')
  let below = 0
  let above = 0
  for (let i = 0; i < n; i++) {
    const value = values[i] as number
    if (!Number.isFinite(value)) throw new ArgumentError('values', `value ${i + 1} of ${n} is not finite`)
    if (limits.lower !== null && value < limits.lower) below++
    if (limits.upper !== null && value > limits.upper) above++
  }
  const share = (count: number) => ({ count, ...binomialInterval(count, n, confidence) })
  return {
    below: limits.lower === null ? null : share(below),
    above: limits.upper === null ? null : share(above),
    total: limits.lower === null && limits.upper === null ? null : share(below + above),
  }
}

/**
 * Exact interval of a probability from a count.
 * Source: C. J. Clopper and E. S. Pearson, Biometrika 26 (1934), 404–413, by the quantiles of the beta distribution.
 *
 * @param count of n trials, whole numbers, 0 ≤ count ≤ n, n at least 1
 * @param confidence as a fraction
 */
function binomialInterval(count: number, n: number, confidence: number): FractionEstimate {
  const tail = (1 - confidence) / 2
  const lowerRatio = count === 0 ? 0 : betaRatioQuantile(tail, count, n - count + 1)
  const upperRatio = count === n ? null : betaRatioUpperQuantile(tail, count + 1, n - count)
  return {
    value: count / n,
    lower: probability(lowerRatio, count, n - count + 1),
    upper: upperRatio === null ? 1 : probability(upperRatio, count + 1, n - count),
    confidence,
  }
}

/** The beta variable whose ratio, as an F variable with 2a and 2b degrees of freedom, is given. */
function probability(ratio: number, a: number, b: number): number {
  return (a * ratio) / (a * ratio + b)
}
