import { betaLowerTail, betaTerm, betaUpperTail } from '../numbers/incomplete-beta.ts'
import { stirlingError } from '../numbers/stirling.ts'
import { invertTail } from '../numbers/tail-inverse.ts'
import { normalQuantile } from './normal.ts'

/** ln [a B(a, b)], which turns the leading term x^a / (a B(a, b)) of the lower tail into a quantile. */
function logLeadingFactor(a: number, b: number): number {
  const n = a + b
  const logBeta =
    0.5 * Math.log((2 * Math.PI * n) / (a * b)) +
    a * Math.log(a / n) +
    b * Math.log(b / n) +
    stirlingError(a) +
    stirlingError(b) -
    stirlingError(n)
  return Math.log(a) + logBeta
}

/** Standard deviation of ln f for large a and b, a first guess. */
function spread(a: number, b: number): number {
  return a > 2 && b > 2 ? Math.sqrt(1 / a + 1 / b) : 0
}

/** The f with lower tail p, in the lower half of the distribution, by Newton's method in ln f. */
function lowerQuantile(p: number, a: number, b: number): number {
  const at = (u: number) => {
    const f = Math.exp(u)
    const tail = betaLowerTail(a, b, f)
    return { tail, derivative: betaTerm(a, b, f) }
  }
  const logX = (Math.log(p) + logLeadingFactor(a, b)) / a
  const leading = logX + Math.log(b / a)
  if (logX < -100) return Math.exp(leading)
  return Math.exp(invertTail(p, at, true, logX < -2 ? leading : normalQuantile(p) * spread(a, b), 2))
}

/** The f with upper tail q, in the upper half of the distribution, by Newton's method in ln f. */
function upperQuantile(q: number, a: number, b: number): number {
  const at = (u: number) => {
    const f = Math.exp(u)
    const tail = betaUpperTail(a, b, f)
    return { tail, derivative: -betaTerm(a, b, f) }
  }
  const logY = (Math.log(q) + logLeadingFactor(b, a)) / b
  const leading = Math.log(b / a) - logY
  if (logY < -100) return Math.exp(leading)
  return Math.exp(invertTail(q, at, false, logY < -2 ? leading : -normalQuantile(q) * spread(a, b), 2))
}

/**
 * The ratio f whose lower tail is p: the quantile of F with 2a and 2b degrees of freedom.
 * p from 0 to 1, a and b > 0, all taken as checked.
 */
export function betaRatioQuantile(p: number, a: number, b: number): number {
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  return p <= betaLowerTail(a, b, 1) ? lowerQuantile(p, a, b) : upperQuantile(1 - p, a, b)
}

/** The ratio f whose upper tail is q; see `betaRatioQuantile`. */
export function betaRatioUpperQuantile(q: number, a: number, b: number): number {
  if (q === 0) return Number.POSITIVE_INFINITY
  if (q === 1) return 0
  return q <= betaUpperTail(a, b, 1) ? upperQuantile(q, a, b) : lowerQuantile(1 - q, a, b)
}
