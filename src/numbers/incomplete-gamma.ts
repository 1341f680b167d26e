import { ConvergenceError } from '../errors.ts'
import { log1pMinus } from './log1p-minus.ts'
import { stirlingError } from './stirling.ts'

/*
 * Own code, because the libraries at hand lose digits in the tails and at large parameters. Arguments are taken
 * as checked: a > 0 and finite, x ≥ 0, possibly infinite.
 */

const MAX_TERMS = 100_000

/**
 * x^a e^(−x) / Γ(a), the gamma density of shape a times x, by the saddle-point form of C. Loader (2000).
 */
export function gammaTerm(a: number, x: number): number {
  if (x === 0 || x === Number.POSITIVE_INFINITY) return 0
  const u = (x - a) / a
  const deviance = u > -0.5 && u < 1 ? -a * log1pMinus(u) : x - a - a * Math.log(x / a)
  return Math.sqrt(a / (2 * Math.PI)) * Math.exp(-stirlingError(a) - deviance)
}

/** Lower tail by its power series, DLMF 8.11.4. */
function lowerSeries(a: number, x: number): number {
  let term = 1 / a
  let sum = term
  for (let n = 1; n < MAX_TERMS; n++) {
    term *= x / (a + n)
    sum += term
    if (term < 1e-17 * sum) return gammaTerm(a, x) * sum
  }
  throw new ConvergenceError(`incomplete gamma series at a = ${a}, x = ${x}`)
}

/** Upper tail by Legendre's continued fraction, DLMF 8.9.2 contracted, by the modified Lentz method. */
function upperFraction(a: number, x: number): number {
  let b = x + 1 - a
  let d = 1 / b
  let c = Number.POSITIVE_INFINITY
  let value = d
  for (let n = 1; n < MAX_TERMS; n++) {
    const numerator = n * (a - n)
    b += 2
    d = 1 / (b + numerator * d)
    c = b + numerator / c
    const factor = c * d
    value *= factor
    if (Math.abs(factor - 1) < 2.3e-16) return gammaTerm(a, x) * value
  }
  throw new ConvergenceError(`incomplete gamma fraction at a = ${a}, x = ${x}`)
}

/** Regularised lower incomplete gamma function P(a, x). */
export function gammaLowerTail(a: number, x: number): number {
  if (x === 0) return 0
  if (x === Number.POSITIVE_INFINITY) return 1
  return x < a + 1 ? lowerSeries(a, x) : 1 - upperFraction(a, x)
}

/** Regularised upper incomplete gamma function Q(a, x). */
export function gammaUpperTail(a: number, x: number): number {
  if (x === 0) return 1
  if (x === Number.POSITIVE_INFINITY) return 0
  return x < a + 1 ? 1 - lowerSeries(a, x) : upperFraction(a, x)
}
