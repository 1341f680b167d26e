import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { noncentralityWhere } from '../distributions/noncentrality.ts'
import type { IndexEstimate } from './index-estimate.ts'

/**
 * Interval of Cp or Pp: the estimate over sigma's chi-square interval.
 * Source: ISO 22514-2, annex on confidence intervals; S. Kotz and N. L. Johnson, Process Capability Indices (1993).
 *
 * @param value the estimated index
 * @param df degrees of freedom of sigma, not necessarily a whole number
 * @param confidence as a fraction
 */
export function spreadIndexInterval(value: number, df: number, confidence: number): IndexEstimate {
  const tail = (1 - confidence) / 2
  return {
    value,
    lower: value * Math.sqrt(chiSquareQuantile(tail, df) / df),
    upper: value * Math.sqrt(chiSquareUpperQuantile(tail, df) / df),
    confidence,
  }
}

/** Noncentral t takes minutes where it is ten times as far. */
const FAR = 1e7

/**
 * Interval of Cpk or Ppk. The distance to one limit over s, times √n, follows a noncentral t distribution whose
 * noncentrality is 3√n times the true index; the interval holds the indices that make the estimate neither
 * surprisingly high nor surprisingly low. Exact for one limit; for two the nearer one decides. Where the limit is so far
 * that only sigma is unsure, beyond t = 10^7, the interval is sigma's: they agree there to twelve digits.
 *
 * Source: D. B. Owen, Technometrics 10 (1968), 445–478; ISO 22514-2, annex on confidence intervals.
 *
 * @param value the estimated index
 * @param n independent values behind the mean, not necessarily a whole number
 * @param df degrees of freedom of sigma
 * @param confidence as a fraction
 */
export function nearerIndexInterval(value: number, n: number, df: number, confidence: number): IndexEstimate {
  const tail = (1 - confidence) / 2
  const scale = 3 * Math.sqrt(n)
  const t = value * scale
  if (Math.abs(t) > FAR) {
    const far = spreadIndexInterval(Math.abs(value), df, confidence)
    return value > 0 ? far : { value, lower: -far.upper, upper: -far.lower, confidence }
  }
  const lower = noncentralityWhere('above', tail, t, df)
  const upper = noncentralityWhere('below', tail, t, df)
  return { value, lower: lower / scale, upper: upper / scale, confidence }
}
