import { requireFinite, requireNumber, requirePositive } from '../numbers/argument-checks.ts'
import { normalDensity, normalLower, normalQuantile, normalUpper, normalUpperQuantile } from './normal.ts'
import { type Fit, isConstant, meanOf, sortedPositiveSample, sumOf } from './sample.ts'

/*
 * Lognormal distribution: ln X is normal with mean mu and standard deviation sigma. All functions throw ArgumentError
 * where x is not a number, p is no probability, mu not finite, or sigma not a finite number greater than zero.
 */

export interface LognormalParameters {
  readonly mu: number
  readonly sigma: number
}

const HALF_LOG_TWO_PI = 0.9189385332046727

function standardised(x: number, mu: number, sigma: number): number {
  requireNumber('x', x)
  requireFinite('mu', mu)
  requirePositive('sigma', sigma)
  return (Math.log(Math.max(0, x)) - mu) / sigma
}

function scaled(z: number, mu: number, sigma: number): number {
  requireFinite('mu', mu)
  requirePositive('sigma', sigma)
  return Math.exp(mu + sigma * z)
}

/** Density at x; zero for x ≤ 0. */
export function lognormalDensity(x: number, mu: number, sigma: number): number {
  const z = standardised(x, mu, sigma)
  return Number.isFinite(z) ? normalDensity(z) / (sigma * x) : 0
}

/** P[X ≤ x]. */
export function lognormalLower(x: number, mu: number, sigma: number): number {
  return normalLower(standardised(x, mu, sigma))
}

/** P[X > x]. */
export function lognormalUpper(x: number, mu: number, sigma: number): number {
  return normalUpper(standardised(x, mu, sigma))
}

/** The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1. */
export function lognormalQuantile(p: number, mu: number, sigma: number): number {
  return scaled(normalQuantile(p), mu, sigma)
}

/** The x with P[X > x] = q; ∞ and 0 at q = 0 and 1. */
export function lognormalUpperQuantile(q: number, mu: number, sigma: number): number {
  return scaled(normalUpperQuantile(q), mu, sigma)
}

/**
 * Maximum likelihood, in closed form: mean and standard deviation (divisor n) of the logarithms.
 * Null where all values are equal: the likelihood has no maximum.
 *
 * @param values n > 2 numbers greater than zero
 * @throws ArgumentError where there are fewer, or one is not finite or not greater than zero
 */
export function fitLognormal(values: ArrayLike<number>): Fit<LognormalParameters> | null {
  const sample = sortedPositiveSample(values, 3)
  if (isConstant(sample)) return null
  const mu = meanOf(sample, Math.log)
  const sigma = Math.sqrt(meanOf(sample, (x) => (Math.log(x) - mu) ** 2))
  const n = sample.length
  const logLikelihood = -n * (Math.log(sigma) + HALF_LOG_TWO_PI + 0.5) - sumOf(sample, Math.log)
  return { mu, sigma, logLikelihood }
}
