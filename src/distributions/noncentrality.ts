import { findRoot } from '../numbers/brent.ts'
import { gammaHalfStepRatio } from '../numbers/stirling.ts'
import { noncentralStudentLower, noncentralStudentUpper } from './noncentral-student.ts'
import { normalQuantile } from './normal.ts'

const MOST_STEPS = 8

/**
 * The noncentrality delta of the t distribution with nu degrees of freedom with which `probability` lies above t, or at
 * or below it: the ends of an interval for delta where t is what was seen (D. B. Owen, Technometrics 10 (1968),
 * 445–478).
 *
 * The normal quantile of that probability is all but linear in delta (W. J. Jennett and B. L. Welch, Supplement to the
 * Journal of the Royal Statistical Society 6 (1939), 80–88: Z − t S is nearly normal), so that the secant method on it,
 * begun there, takes four or five of the integrals instead of the dozen of a bracket. Where it does not settle, Brent's
 * method does.
 *
 * @param probability between 0 and 1
 * @param t finite
 * @param nu degrees of freedom, greater than zero
 * @throws ArgumentError as `noncentralStudentUpper`, or where the probability is so small that no delta is found
 */
export function noncentralityWhere(
  side: 'above' | 'below',
  probability: number,
  t: number,
  nu: number,
): number {
  const sign = side === 'above' ? 1 : -1
  const tailAt = side === 'above' ? noncentralStudentUpper : noncentralStudentLower
  const wanted = sign * normalQuantile(probability)
  // Rises with delta, by about one a width.
  const missed = (delta: number) => sign * normalQuantile(tailAt(t, nu, delta)) - wanted
  const c = gammaHalfStepRatio(nu / 2)
  const width = Math.sqrt(1 + t * t * Math.max(0, 1 - c * c))
  let before = t * c + wanted * width
  let missedBefore = missed(before)
  let delta = before - missedBefore * width
  for (let i = 0; i < MOST_STEPS && Number.isFinite(delta); i++) {
    const missedNow = missed(delta)
    if (missedNow === 0) return delta
    const step = (-missedNow * (delta - before)) / (missedNow - missedBefore)
    // Not so where a probability was 0 or 1, or two were the same.
    if (!(Math.abs(step) < width)) break
    // What is left after a step is less than the product of the last two, in widths.
    const isLast = Math.abs(step) * Math.abs(delta - before) < 1e-15 * width * width
    before = delta
    missedBefore = missedNow
    delta += step
    if (isLast) return delta
  }
  const reach = 12 * Math.sqrt(1 + t ** 2 / (2 * nu)) + 6 / nu
  const over = (at: number) => tailAt(t, nu, at) - probability
  return side === 'above' ? findRoot(over, t - reach, t) : findRoot(over, t, t + reach)
}
