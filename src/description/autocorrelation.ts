import { normalUpperQuantile } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { momentsOf } from './moments.ts'

/** How much each value resembles the one before it. */
export interface Autocorrelation {
  /** Lag-1 autocorrelation coefficient, from −1 to 1. */
  readonly r: number
  /** Independent values stay within ± this bound with the given confidence. */
  readonly bound: number
  /** Whether r lies beyond the bound: control limits from moving ranges are then too narrow, or too wide below 0. */
  readonly warns: boolean
}

/**
 * Lag-1 autocorrelation of values in the order taken, with the bound z/√n that independent values keep to.
 *
 * Sources: NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.5.12; M. S. Bartlett, On the theoretical
 * specification and sampling properties of autocorrelated time series, Supplement to the Journal of the Royal
 * Statistical Society 8 (1946), 27–41.
 *
 * @param values n finite numbers, n at least 3
 * @param confidence two-sided, above 0 and below 1
 * @returns null where all values are the same
 * @throws ArgumentError where there are too few values, one is not finite, or the confidence is out of range
 */
export function autocorrelation(values: ArrayLike<number>, confidence: number): Autocorrelation | null {
  const n = values.length
  if (n < 3) throw new ArgumentError('values', `${n} values; autocorrelation needs 3`)
  if (!(confidence > 0 && confidence < 1)) {
    throw new ArgumentError('confidence', `${confidence} is not between 0 and 1`)
  }
  const { mean, m2, min, max } = momentsOf(values)
  if (min === max) return null
  let products = 0
  for (let i = 1; i < n; i++) products += ((values[i - 1] as number) - mean) * ((values[i] as number) - mean)
  const r = products / m2
  const bound = normalUpperQuantile((1 - confidence) / 2) / Math.sqrt(n)
  return { r, bound, warns: Math.abs(r) > bound }
}
