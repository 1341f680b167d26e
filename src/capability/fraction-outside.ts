import type { ResampledFits } from './bootstrap.ts'
import { bootstrapInterval } from './bootstrap-interval.ts'
import { distributionFunctions, type FittedDistribution } from './fitted-distribution.ts'
import type { Limits } from './indices.ts'
import { requireOrder } from './limits-order.ts'

/** A share of parts, 0 to 1, with its two-sided confidence interval. */
export interface FractionEstimate {
  readonly value: number
  readonly lower: number
  readonly upper: number
  /** As a fraction: 0.95 means 95 %. */
  readonly confidence: number
}

/** Shares beyond each limit and beyond either; null where the limit, or any limit, is missing. */
export interface OutsideBy<Share> {
  readonly below: Share | null
  readonly above: Share | null
  readonly total: Share | null
}

/**
 * Fraction of parts beyond each limit under a distribution. Tails are computed as tails: one in 10^12 keeps its digits.
 *
 * @param limits in the unit of the distribution
 * @throws ArgumentError where the limits are crossed or the distribution's parameters are outside their range
 */
export function fractionOutside(limits: Limits, distribution: FittedDistribution): OutsideBy<number> {
  requireOrder(limits)
  const { lower, upper } = distributionFunctions(distribution)
  const below = limits.lower === null ? null : lower(limits.lower)
  const above = limits.upper === null ? null : upper(limits.upper)
  const total = below === null ? above : below + (above ?? 0)
  return { below, above, total }
}

/**
 * As `fractionOutside`, with bootstrap intervals. They carry the uncertainty of the parameters, not that of the family:
 * far beyond the values at hand the fraction rests on the family having been chosen rightly.
 *
 * @param distribution fitted to the values themselves
 * @param resampled its family fitted to resamples of them
 * @param confidence as a fraction
 */
export function fractionOutsideEstimate(
  limits: Limits,
  distribution: FittedDistribution,
  resampled: ResampledFits,
  confidence: number,
): OutsideBy<FractionEstimate> {
  const fractions = fractionOutside(limits, distribution)
  const estimate = (of: keyof OutsideBy<number>): FractionEstimate | null => {
    const value = fractions[of]
    if (value === null) return null
    const figure = (fit: FittedDistribution) => fractionOutside(limits, fit)[of] as number
    return { value, ...bootstrapInterval(value, figure, resampled, confidence), confidence }
  }
  return { below: estimate('below'), above: estimate('above'), total: estimate('total') }
}
