import { normalUpper } from '../distributions/normal.ts'
import { type CharacteristicKind, KINDS_WITH_FLOOR } from '../domain/characteristic.ts'
import { distributionFunctions, type FittedDistribution } from './fitted-distribution.ts'
import type { Limits } from './indices.ts'
import { requireOrder } from './limits-order.ts'

/** What a normal distribution has beyond three sigma; the standard's 0.135 % is this figure, rounded. */
const TAIL = normalUpper(3)

/** Indices by quantiles, with the quantiles, in the unit of the values, that they come from. */
export interface QuantileIndices {
  /** X0.135 %, X50 % and X99.865 %. */
  readonly low: number
  readonly middle: number
  readonly high: number
  /** Pp, or Cp where the process was in control; null unless both limits exist. */
  readonly spread: number | null
  /** Towards each limit; null where it does not exist. */
  readonly toLower: number | null
  readonly toUpper: number | null
  /** Ppk or Cpk: the lesser of the two; null where there is no limit at all. */
  readonly nearer: number | null
}

/**
 * Indices of any distribution: (U − L) / (X99.865 % − X0.135 %), (U − X50 %) / (X99.865 % − X50 %) and
 * (X50 % − L) / (X50 % − X0.135 %). For a normal distribution they are Cp and Cpk.
 * Source: ISO 22514-2, where the tails are 0.135 % and 99.865 %; here Φ(−3), so that the two agree to every digit.
 *
 * @param limits in the unit of the distribution; see `bindingLimits` for characteristics with a natural floor
 * @throws ArgumentError where the limits are crossed or the distribution's parameters are outside their range
 */
export function quantileIndices(limits: Limits, distribution: FittedDistribution): QuantileIndices {
  const { lower, upper } = limits
  requireOrder(limits)
  const { quantile, upperQuantile } = distributionFunctions(distribution)
  const low = quantile(TAIL)
  const middle = quantile(0.5)
  const high = upperQuantile(TAIL)
  const toLower = lower === null ? null : (middle - lower) / (middle - low)
  const toUpper = upper === null ? null : (upper - middle) / (high - middle)
  const spread = lower === null || upper === null ? null : (upper - lower) / (high - low)
  const nearer = toLower === null ? toUpper : toUpper === null ? toLower : Math.min(toLower, toUpper)
  return { low, middle, high, spread, toLower, toUpper, nearer }
}

/**
 * The limits that a part can break. The zero written as lower limit of a flatness is a natural bound, not a
 * requirement: no part can be below it, and an index towards it would say nothing. Source: ISO 22514-2 on one-sided
 * characteristics.
 */
export function bindingLimits(limits: Limits, kind: CharacteristicKind): Limits {
  const natural = KINDS_WITH_FLOOR.has(kind) && limits.lower !== null && limits.lower <= 0
  return natural ? { lower: null, upper: limits.upper } : limits
}
