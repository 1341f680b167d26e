import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { type Fit, meanOf, sortedPositiveSample, sumOf } from './sample.ts'

/*
 * Rayleigh distribution: the distance from the origin of a point whose two coordinates are independent and normal with
 * mean zero and standard deviation sigma. All functions throw ArgumentError where x is not a number, p is no
 * probability, or sigma not a finite number greater than zero.
 */

export interface RayleighParameters {
  readonly sigma: number
}

/** x² / (2 sigma²), the exponent of the upper tail; zero below the support. */
function exponent(x: number, sigma: number): number {
  requireNumber('x', x)
  requirePositive('sigma', sigma)
  const y = Math.max(0, x) / sigma
  return (y * y) / 2
}

/** Density at x; zero below the support. */
export function rayleighDensity(x: number, sigma: number): number {
  const e = exponent(x, sigma)
  return e === Number.POSITIVE_INFINITY ? 0 : (Math.max(0, x) / sigma / sigma) * Math.exp(-e)
}

/** P[X ≤ x]. */
export function rayleighLower(x: number, sigma: number): number {
  return -Math.expm1(-exponent(x, sigma))
}

/** P[X > x]. */
export function rayleighUpper(x: number, sigma: number): number {
  return Math.exp(-exponent(x, sigma))
}

/** The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1. */
export function rayleighQuantile(p: number, sigma: number): number {
  requireProbability('p', p)
  requirePositive('sigma', sigma)
  return sigma * Math.sqrt(2 * Math.abs(Math.log1p(-p)))
}

/** The x with P[X > x] = q; ∞ and 0 at q = 0 and 1. */
export function rayleighUpperQuantile(q: number, sigma: number): number {
  requireProbability('q', q)
  requirePositive('sigma', sigma)
  return sigma * Math.sqrt(2 * Math.abs(Math.log(q)))
}

/**
 * Maximum likelihood, in closed form: sigma² is half the mean square. It always exists.
 *
 * @param values n > 1 numbers greater than zero
 * @throws ArgumentError where there are fewer, or one is not finite or not greater than zero
 */
export function fitRayleigh(values: ArrayLike<number>): Fit<RayleighParameters> {
  const sample = sortedPositiveSample(values, 2)
  const sigma = Math.sqrt(meanOf(sample, (x) => x * x) / 2)
  const logLikelihood = sumOf(sample, Math.log) - sample.length * (2 * Math.log(sigma) + 1)
  return { sigma, logLikelihood }
}
