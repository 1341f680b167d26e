import { ArgumentError } from '../errors.ts'
import { requireNumber } from '../numbers/argument-checks.ts'
import { normalDensity, normalUpper, normalWithin } from './normal.ts'

/*
 * The range of n independent standard normal values. Both tails are one-dimensional integrals of analytic,
 * rapidly decaying functions, which the trapezoidal rule sums to nearly full precision; see L. N. Trefethen and
 * J. A. C. Weideman, SIAM Review 56 (2014), 385–458.
 */

/** Terms below this part of the sum end a sum. */
const NEGLIGIBLE = 1e-18

/** Step that resolves the extreme of n values, whose spread falls as 1/√(2 ln n). */
function extremeStep(n: number): number {
  return 0.3 * Math.min(1, 1.2 / Math.sqrt(2 * Math.log(n)))
}

function requireSampleSize(n: number): void {
  if (!(Number.isInteger(n) && n >= 2))
    throw new ArgumentError('n', `must be a whole number from 2 on, not ${n}`)
}

/**
 * P[R ≤ w] of the range R of n standard normal values: n ∫ φ(x) [Φ(x + w) − Φ(x)]^(n − 1) dx, taken from the middle of
 * the interval, about which the integrand made symmetrical is even.
 * @param n whole number from 2 on
 * @throws ArgumentError where w is not a number or n is not a whole number from 2 on
 */
export function normalRangeLower(w: number, n: number): number {
  requireNumber('w', w)
  requireSampleSize(n)
  if (w <= 0) return 0
  if (w > 40) return 1
  const half = w / 2
  const central = normalWithin(0, half)
  const curvature = ((n - 1) * w * normalDensity(half)) / central + 1 - half * half
  const step = Math.min(extremeStep(n), 0.45 / Math.sqrt(Math.max(1, curvature)))
  let sum = normalDensity(half) * central ** (n - 1)
  let previous = sum
  for (let i = 1; i < 10_000; i++) {
    const u = i * step
    const term = (normalDensity(u - half) + normalDensity(u + half)) * normalWithin(u, half) ** (n - 1)
    sum += term
    if (term <= NEGLIGIBLE * sum && term <= previous) break
    previous = term
  }
  return Math.min(1, n * step * sum)
}

/**
 * P[R > w] of the range R of n standard normal values, with its digits also where it is small: the sum over the
 * smallest value x of the probability that not all others lie within w above it.
 * @param n whole number from 2 on
 * @throws ArgumentError where w is not a number or n is not a whole number from 2 on
 */
export function normalRangeUpper(w: number, n: number): number {
  requireNumber('w', w)
  requireSampleSize(n)
  if (w <= 0) return 1
  if (w > 75) return 0
  const others = n - 1
  const at = (x: number) => {
    const above = normalUpper(x)
    if (above === 0) return 0
    const beyond = Math.min(1, normalUpper(x + w) / above)
    return normalDensity(x) * above ** others * -Math.expm1(others * Math.log1p(-beyond))
  }
  const step = extremeStep(n)
  const start = -Math.max(w / 2, Math.sqrt(Math.log(n)))
  let sum = at(start)
  for (const direction of [-step, step]) {
    let previous = 0
    for (let i = 1; i < 10_000; i++) {
      const term = at(start + i * direction)
      sum += term
      if (term <= NEGLIGIBLE * sum && term <= previous) break
      previous = term
    }
  }
  return Math.min(1, n * step * sum)
}
