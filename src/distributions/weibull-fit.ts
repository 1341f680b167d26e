import { findRoot } from '../numbers/brent.ts'
import { type Fit, isConstant, meanOf, sortedPositiveSample, sortedSample, sumOf } from './sample.ts'
import { bestThreshold } from './threshold-search.ts'

export interface WeibullParameters {
  readonly shape: number
  readonly scale: number
  /** Lower end of the support, in the unit of the values; zero in the distribution with two parameters. */
  readonly threshold: number
}

/** Maximum likelihood of shape and scale for distances from a threshold, all greater than zero and not all equal. */
function fitDistances(distances: Float64Array): { shape: number; scale: number; logLikelihood: number } {
  const greatest = distances[distances.length - 1] as number
  const logs = distances.map((x) => Math.log(x / greatest))
  const meanLog = meanOf(logs, (y) => y)
  const excess = (u: number) => {
    const shape = Math.exp(u)
    let powers = 0
    let weighted = 0
    for (const y of logs) {
      const power = Math.exp(shape * y)
      powers += power
      weighted += power * y
    }
    return weighted / powers - 1 / shape - meanLog
  }
  // The equation rises from −∞ at shape 0 to −meanLog > 0, so that it has one solution.
  let low = 0
  while (excess(low) > 0) low -= 2
  let high = low + 2
  while (excess(high) < 0) high += 2
  const shape = Math.exp(findRoot(excess, low, high))
  const scale = greatest * meanOf(logs, (y) => Math.exp(shape * y)) ** (1 / shape)
  const n = distances.length
  const logLikelihood =
    n * Math.log(shape / scale) + (shape - 1) * (sumOf(logs, (y) => y) + n * Math.log(greatest / scale)) - n
  return { shape, scale, logLikelihood }
}

/**
 * Maximum likelihood of the Weibull distribution with shape and scale: the shape from its profile equation, which has
 * one solution, by Brent's method; the scale in closed form.
 * Source: N. L. Johnson, S. Kotz and N. Balakrishnan, Continuous Univariate Distributions 1 (1994), chapter 21.
 * Null where all values are equal: the likelihood has no maximum.
 *
 * @param values n > 2 numbers greater than zero
 * @throws ArgumentError where there are fewer, or one is not finite or not greater than zero
 */
export function fitWeibull(values: ArrayLike<number>): Fit<WeibullParameters> | null {
  const sample = sortedPositiveSample(values, 3)
  return isConstant(sample) ? null : { ...fitDistances(sample), threshold: 0 }
}

/**
 * Maximum likelihood of the Weibull distribution with shape, scale and threshold: the local maximum of the likelihood
 * with shape above 1, found from the profile over the threshold.
 *
 * Null where there is no such maximum: the values are all equal, or so heaped at their lower end that the shape is
 * not above 1, or so skewed to the left that the likelihood still grows as the threshold falls away.
 *
 * @param values n > 3 numbers
 * @throws ArgumentError where there are fewer or one is not finite
 */
export function fitWeibullThreshold(values: ArrayLike<number>): Fit<WeibullParameters> | null {
  const sample = sortedSample(values, 4)
  if (isConstant(sample)) return null
  const least = sample[0] as number
  const range = (sample[sample.length - 1] as number) - least
  const fitAbove = (threshold: number) => fitDistances(sample.map((x) => x - threshold))
  const score = (threshold: number) => {
    const { shape, scale } = fitAbove(threshold)
    if (shape <= 1) return Number.NaN
    return sumOf(sample, (x) => {
      const y = (x - threshold) / scale
      return (shape * y ** shape - (shape - 1)) / (x - threshold)
    })
  }
  const threshold = bestThreshold(least, range, score, (t) => fitAbove(t).logLikelihood)
  return threshold === null ? null : { ...fitAbove(threshold), threshold }
}
