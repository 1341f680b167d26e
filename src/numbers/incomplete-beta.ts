import { ConvergenceError } from '../errors.ts'
import { log1pMinus } from './log1p-minus.ts'
import { stirlingError } from './stirling.ts'

/*
 * The regularised incomplete beta function I_x(a, b), written in the ratio f = (x / a) / ((1 − x) / b) in which
 * the F distribution is stated. With x and 1 − x both derived from f, nothing is lost where either is near one;
 * with a and b large an x rounded to a double would cost five digits.
 *
 * Own code, because the libraries at hand lose digits in the tails and at large parameters. Arguments are taken
 * as checked: a, b > 0 and finite, f ≥ 0, possibly infinite.
 */

const MAX_TERMS = 100_000

/**
 * x^a (1 − x)^b / B(a, b), which is the density of f times f, by the saddle-point form of C. Loader (2000).
 */
export function betaTerm(a: number, b: number, f: number): number {
  if (f === 0 || f === Number.POSITIVE_INFINITY) return 0
  const n = a + b
  const u = (-b * (f - 1)) / (n * f)
  const v = (a * (f - 1)) / n
  let deviance: number
  if (u > -0.5 && u < 1 && v > -0.5 && v < 1) {
    // The terms of first order in u and v cancel all but this remainder.
    const remainder = ((a * b) / n) * ((f - 1) / f) * (f - 1)
    deviance = remainder + a * log1pMinus(u) + b * log1pMinus(v)
  } else {
    const logOne = u > -0.5 ? Math.log1p(u) : Math.log((a + b / f) / n)
    const logTwo = v > -0.5 ? Math.log1p(v) : Math.log((a * f + b) / n)
    deviance = a * logOne + b * logTwo
  }
  const scale = stirlingError(n) - stirlingError(a) - stirlingError(b)
  return Math.sqrt((a / n) * (b / (2 * Math.PI))) * Math.exp(scale - deviance)
}

/**
 * I_x(a, b) over its leading term: the continued fraction of A. R. DiDonato and A. H. Morris, ACM Transactions on
 * Mathematical Software 18 (1992), 360–373, section 4, by the modified Lentz method.
 * @param lambda a − (a + b) x, from f rather than from x
 */
function betaFraction(a: number, b: number, x: number, y: number, lambda: number): number {
  let value = (a / (a + 1)) * (lambda + 1)
  let c = value
  let d = 0
  for (let n = 1; n < MAX_TERMS; n++) {
    const odd = a + 2 * n - 1
    const numerator = ((a + n - 1) / odd) * ((a + b + n - 1) / odd) * n * (b - n) * x * x
    const denominator = n + (n * (b - n) * x) / odd + ((a + n) / (odd + 2)) * (lambda + 1 + n * (1 + y))
    d = 1 / (denominator + numerator * d)
    c = denominator + numerator / c
    const factor = c * d
    value *= factor
    if (Math.abs(factor - 1) < 2.3e-16) return 1 / value
  }
  throw new ConvergenceError(`incomplete beta fraction at a = ${a}, b = ${b}, x = ${x}`)
}

/** The tail that f lies in: the lower one for f < 1, else the upper one. */
function nearTail(a: number, b: number, f: number): number {
  const scaled = a * f
  const sum = scaled + b
  const x = f < 1 ? scaled / sum : a / (a + b / f)
  const y = b / sum
  const lambda = f < 1 ? ((a * b) / sum) * (1 - f) : (a * b * (f - 1)) / sum
  const term = betaTerm(a, b, f)
  if (term === 0) return 0
  return term * (f < 1 ? betaFraction(a, b, x, y, lambda) : betaFraction(b, a, y, x, lambda))
}

/** I_x(a, b): the probability that an F ratio with 2a and 2b degrees of freedom is at most f. */
export function betaLowerTail(a: number, b: number, f: number): number {
  if (f === 0) return 0
  if (f === Number.POSITIVE_INFINITY) return 1
  return f < 1 ? nearTail(a, b, f) : 1 - nearTail(a, b, f)
}

/** 1 − I_x(a, b): the probability that an F ratio with 2a and 2b degrees of freedom exceeds f. */
export function betaUpperTail(a: number, b: number, f: number): number {
  if (f === 0) return 1
  if (f === Number.POSITIVE_INFINITY) return 0
  return f < 1 ? 1 - nearTail(a, b, f) : nearTail(a, b, f)
}
