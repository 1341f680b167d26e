import { ArgumentError } from '../errors.ts'
import { slopeRank } from './kendall.ts'

/** A straight drift, found so that a few wild values do not sway it. */
export interface Drift {
  /** Change of the level per unit of x: the median of the slopes between all pairs. */
  readonly slope: number
  /** Confidence limits of the slope; null where there are too few values for the confidence. */
  readonly slopeLower: number | null
  readonly slopeUpper: number | null
  /** Mean of x, where `level` is taken. */
  readonly centre: number
  /** Level of the line at `centre`: Hodges and Lehmann's estimate from the values with the slope taken off. */
  readonly level: number
  readonly n: number
  /** Sum of squared deviations of x from `centre`. */
  readonly xSquares: number
  readonly lastX: number
}

/** Pairs are formed of all values: at 2000 there are two million, and about half a second is needed. */
const MOST_VALUES = 2000

/**
 * Theil and Sen's slope with Sen's distribution-free interval, for values with independent, alike errors of any
 * continuous distribution.
 *
 * Sources: P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, Journal of the American
 * Statistical Association 63 (1968), 1379–1389; J. L. Hodges and E. L. Lehmann, Estimates of location based on rank
 * tests, Annals of Mathematical Statistics 34 (1963), 598–611.
 *
 * @param x n places, such as time or build number, in any order; they may coincide
 * @param y n values
 * @param confidence of the slope's interval, above 0 and below 1
 * @throws ArgumentError where lengths differ, there are fewer than 3 or more than 2000 values, one is not finite, all
 *   places coincide, or the confidence is out of range
 */
export function drift(x: ArrayLike<number>, y: ArrayLike<number>, confidence: number): Drift {
  const n = x.length
  if (y.length !== n) throw new ArgumentError('y', `${y.length} values at ${n} places`)
  if (n < 3 || n > MOST_VALUES)
    throw new ArgumentError('x', `${n} places; 3 to ${MOST_VALUES} can be computed`)
  if (!(confidence > 0 && confidence < 1)) {
    throw new ArgumentError('confidence', `${confidence} is not between 0 and 1`)
  }
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(x[i])) throw new ArgumentError('x', `place ${i + 1} of ${n} is not finite`)
    if (!Number.isFinite(y[i])) throw new ArgumentError('y', `value ${i + 1} of ${n} is not finite`)
  }
  const slopes = pairSlopes(x, y)
  if (slopes.length === 0) throw new ArgumentError('x', 'all places are the same')
  const slope = medianOfSorted(slopes)
  const rank = slopeRank(tieCounts(x), slopes.length, confidence)

  let sum = 0
  for (let i = 0; i < n; i++) sum += (x[i] as number) - (x[0] as number)
  const centre = (x[0] as number) + sum / n
  let xSquares = 0
  let lastX = Number.NEGATIVE_INFINITY
  const levels = new Float64Array(n)
  for (let i = 0; i < n; i++) {
    const offset = (x[i] as number) - centre
    xSquares += offset * offset
    lastX = Math.max(lastX, x[i] as number)
    levels[i] = (y[i] as number) - slope * offset
  }
  return {
    slope,
    slopeLower: rank === 0 ? null : (slopes[rank - 1] as number),
    slopeUpper: rank === 0 ? null : (slopes[slopes.length - rank] as number),
    centre,
    level: hodgesLehmann(levels),
    n,
    xSquares,
    lastX,
  }
}

function pairSlopes(x: ArrayLike<number>, y: ArrayLike<number>): Float64Array {
  const n = x.length
  const slopes = new Float64Array((n * (n - 1)) / 2)
  let count = 0
  for (let i = 1; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const run = (x[i] as number) - (x[j] as number)
      if (run !== 0) slopes[count++] = ((y[i] as number) - (y[j] as number)) / run
    }
  }
  return slopes.slice(0, count).sort()
}

function tieCounts(x: ArrayLike<number>): number[] {
  const counts = new Map<number, number>()
  for (let i = 0; i < x.length; i++) counts.set(x[i] as number, (counts.get(x[i] as number) ?? 0) + 1)
  return [...counts.values()]
}

/** Median of the means of all pairs, each value paired with itself too. */
function hodgesLehmann(values: Float64Array): number {
  const n = values.length
  const means = new Float64Array((n * (n + 1)) / 2)
  let count = 0
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) means[count++] = ((values[i] as number) + (values[j] as number)) / 2
  }
  return medianOfSorted(means.sort())
}

function medianOfSorted(sorted: Float64Array): number {
  const middle = sorted.length / 2
  const low = sorted[Math.ceil(middle) - 1] as number
  const high = sorted[Math.floor(middle)] as number
  return low + (high - low) / 2
}
