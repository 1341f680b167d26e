import { ArgumentError } from '../errors.ts'

/**
 * Which continuous sample quantile is meant, by its number in R. J. Hyndman and Y. Fan, Sample quantiles in
 * statistical packages, The American Statistician 50 (1996), 361–365: 7 puts the extremes at 0 and 1; 8 is close to
 * median-unbiased whatever the distribution, and is what the authors advise.
 */
export type QuantileDefinition = 7 | 8

/**
 * Sample quantiles at the given probabilities, in the unit of the values and the order of the probabilities.
 *
 * @param values n finite numbers in any order, n at least 1
 * @param probabilities each from 0 to 1
 * @throws ArgumentError where there are no values, one is not finite, or a probability is out of range
 */
export function quantiles(
  values: ArrayLike<number>,
  probabilities: readonly number[],
  definition: QuantileDefinition,
): number[] {
  const sorted = Float64Array.from(values).sort()
  const n = sorted.length
  if (n === 0) throw new ArgumentError('values', 'no values')
  if (!sorted.every(Number.isFinite)) throw new ArgumentError('values', 'a value is not finite')
  return probabilities.map((p) => {
    if (!(p >= 0 && p <= 1)) throw new ArgumentError('probabilities', `${p} is not from 0 to 1`)
    const place = definition === 7 ? 1 + (n - 1) * p : 1 / 3 + (n + 1 / 3) * p
    const within = Math.min(n, Math.max(1, place))
    const rank = Math.floor(within)
    const low = sorted[rank - 1] as number
    const high = sorted[Math.min(rank, n - 1)] as number
    return low + (within - rank) * (high - low)
  })
}
