import { ArgumentError } from '../errors.ts'
import { requireOrder } from './limits-order.ts'

/** Specification limits in the unit of the values; null where the drawing gives none. */
export interface Limits {
  readonly lower: number | null
  readonly upper: number | null
}

/**
 * Tolerance over six sigma: Cp with the sigma of a process in control, Pp with the overall sigma.
 * Source: ISO 22514-2; NIST/SEMATECH e-Handbook of Statistical Methods, section 6.1.6.
 *
 * @param limits in the unit of sigma
 * @returns null unless both limits exist
 * @throws ArgumentError where the limits are crossed or sigma is not above zero
 */
export function spreadIndex(limits: Limits, sigma: number): number | null {
  check(limits, sigma)
  if (limits.lower === null || limits.upper === null) return null
  return (limits.upper - limits.lower) / (6 * sigma)
}

/**
 * Distance from the mean to the nearer limit over three sigma: Cpk or Ppk. Negative where the mean is outside.
 * Source: as `spreadIndex`.
 *
 * @param limits, mean and sigma in one unit
 * @returns null where there is no limit at all
 * @throws ArgumentError as `spreadIndex`
 */
export function nearerIndex(limits: Limits, mean: number, sigma: number): number | null {
  check(limits, sigma)
  const below = limits.lower === null ? null : (mean - limits.lower) / (3 * sigma)
  const above = limits.upper === null ? null : (limits.upper - mean) / (3 * sigma)
  if (below === null) return above
  return above === null ? below : Math.min(below, above)
}

function check(limits: Limits, sigma: number): void {
  if (!(sigma > 0 && Number.isFinite(sigma))) {
    throw new ArgumentError('sigma', 'must be above zero: without spread an index is undefined')
  }
  requireOrder(limits)
}
