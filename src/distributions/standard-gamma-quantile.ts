import { gammaLowerTail, gammaTerm, gammaUpperTail } from '../numbers/incomplete-gamma.ts'
import { stirlingError } from '../numbers/stirling.ts'
import { invertTail } from '../numbers/tail-inverse.ts'
import { normalQuantile } from './normal.ts'

/** Logarithm of the x at which the leading term of the lower tail, x^a / Γ(a + 1), equals p. */
function leadingLogQuantile(p: number, a: number): number {
  const logGammaNext = (a + 0.5) * Math.log(a) - a + 0.9189385332046727 + stirlingError(a)
  return (Math.log(p) + logGammaNext) / a
}

/**
 * Logarithm of the quantile in the approximation of E. B. Wilson and M. M. Hilferty, Proceedings of the National
 * Academy of Sciences 17 (1931), 684–688: the cube root is nearly normal.
 */
function cubeLogQuantile(z: number, a: number): number {
  return Math.log(a) + 3 * Math.log(Math.max(0.01, 1 - 1 / (9 * a) + z / (3 * Math.sqrt(a))))
}

/** The x with lower tail p, below the mean, by Newton's method in ln x. */
function lowerQuantile(p: number, a: number): number {
  const leading = leadingLogQuantile(p, a)
  const at = (u: number) => {
    const x = Math.exp(u)
    const tail = gammaLowerTail(a, x)
    return { tail, derivative: gammaTerm(a, x) }
  }
  if (leading < -40) return Math.exp(leading)
  return Math.exp(
    invertTail(p, at, true, a < 5 ? leading : Math.max(leading, cubeLogQuantile(normalQuantile(p), a)), 2),
  )
}

/** The x with upper tail q, above the mean, by Newton's method in ln x. */
function upperQuantile(q: number, a: number): number {
  const at = (u: number) => {
    const x = Math.exp(u)
    const tail = gammaUpperTail(a, x)
    return { tail, derivative: -gammaTerm(a, x) }
  }
  const start = a < 5 ? Math.log(a + 1) : cubeLogQuantile(-normalQuantile(q), a)
  return Math.exp(invertTail(q, at, false, start, 2))
}

/** Quantile of the gamma distribution with shape a > 0 and scale 1; p from 0 to 1, both taken as checked. */
export function standardGammaQuantile(p: number, a: number): number {
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  return p <= gammaLowerTail(a, a) ? lowerQuantile(p, a) : upperQuantile(1 - p, a)
}

/** Upper quantile of the gamma distribution with shape a > 0 and scale 1; q from 0 to 1, both taken as checked. */
export function standardGammaUpperQuantile(q: number, a: number): number {
  if (q === 0) return Number.POSITIVE_INFINITY
  if (q === 1) return 0
  return q <= gammaUpperTail(a, a) ? upperQuantile(q, a) : lowerQuantile(1 - q, a)
}
