import { momentsOf, variance } from '../description/moments.ts'
import { normalQuantile } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { oneSidedToleranceFactor } from '../tolerance/tolerance-factor.ts'
import { requireFraction } from './argument-range.ts'
import { type Estimate, meanEstimate, roundingOf, straightLine, studentEstimate } from './straight-line.ts'

/** One part measured by both methods. */
export interface MethodPair {
  readonly first: number
  readonly second: number
}

/** An agreement limit with its two-sided confidence interval. */
export interface AgreementLimit {
  readonly value: number
  readonly lower: number
  readonly upper: number
}

/** How two methods agree part by part; all in their unit. */
export interface MethodAgreement {
  readonly n: number
  /** Mean of first minus second. */
  readonly difference: Estimate
  /** Standard deviation of the differences. */
  readonly sd: number
  /** Limits that hold the stated share of differences, and their intervals. */
  readonly lowerLimit: AgreementLimit
  readonly upperLimit: AgreementLimit
  /**
   * Change of the difference per unit of the pair's mean; where it is not 0, one pair of limits does not hold for all
   * sizes. Null for two pairs, or where all means are equal or all pairs lie on a line.
   */
  readonly trend: Estimate | null
}

/** Why there are no agreement limits. */
export interface NoAgreement {
  readonly reason: 'too few pairs' | 'constant differences'
}

/**
 * Agreement of two methods of measuring, such as a coordinate measuring machine and a hand gauge: the limits between
 * which the stated share of differences lies, mean ± z s, with intervals that are exact for normal differences.
 *
 * Sources: J. M. Bland and D. G. Altman, Lancet 327 (1986), 307–310, and Statistical Methods in Medical Research 8
 * (1999), 135–160; A. Carkeet, Exact parametric confidence intervals for Bland–Altman limits of agreement, Optometry
 * and Vision Science 92 (2015), e71–e80.
 *
 * @param content share of differences between the limits, above 0 and below 1; 0.95 makes z 1.96
 * @param confidence of each interval, above 0 and below 1
 * @returns the reason where there are fewer than two pairs, or where all differences are equal
 * @throws ArgumentError where a value is not finite, or content or confidence is out of range
 */
export function methodAgreement(
  pairs: readonly MethodPair[],
  content: number,
  confidence: number,
): MethodAgreement | NoAgreement {
  for (const [i, { first, second }] of pairs.entries()) {
    if (!(Number.isFinite(first) && Number.isFinite(second))) {
      throw new ArgumentError('pairs', `pair ${i + 1} of ${pairs.length} is not finite`)
    }
  }
  requireFraction('content', content)
  requireFraction('confidence', confidence)
  const n = pairs.length
  if (n < 2) return { reason: 'too few pairs' }
  const differences = pairs.map(({ first, second }) => first - second)
  const moments = momentsOf(differences)
  const values = pairs.flatMap(({ first, second }) => [first, second])
  const difference = meanEstimate(differences, roundingOf(values), confidence)
  if (difference === null) {
    return { reason: 'constant differences' }
  }
  const { mean } = moments
  const sd = Math.sqrt(variance(moments) as number)
  const tail = (1 - confidence) / 2
  // Each limit is a quantile of the differences; the interval of one is a pair of one-sided tolerance limits.
  const inside = (1 + content) / 2
  const factor = (level: number) => oneSidedToleranceFactor(n, n - 1, inside, level)
  const z = normalQuantile(inside)
  const near = factor(tail)
  const far = factor(1 - tail)
  return {
    n,
    difference,
    sd,
    lowerLimit: { value: mean - z * sd, lower: mean - far * sd, upper: mean - near * sd },
    upperLimit: { value: mean + z * sd, lower: mean + near * sd, upper: mean + far * sd },
    trend: trendOf(pairs, differences, confidence),
  }
}

function trendOf(
  pairs: readonly MethodPair[],
  differences: readonly number[],
  confidence: number,
): Estimate | null {
  const sizes = pairs.map(({ first, second }) => (first + second) / 2)
  const { min, max } = momentsOf(sizes)
  if (sizes.length < 3 || max - min <= roundingOf(sizes)) return null
  const fit = straightLine(sizes, differences)
  return fit === null ? null : studentEstimate(fit.slope, fit.slopeError, fit.df, confidence)
}
