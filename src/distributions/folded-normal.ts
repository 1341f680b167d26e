import { ArgumentError } from '../errors.ts'
import {
  requireFinite,
  requireNumber,
  requirePositive,
  requireProbability,
} from '../numbers/argument-checks.ts'
import { findRoot } from '../numbers/brent.ts'
import { invertTail } from '../numbers/tail-inverse.ts'
import { normalDensity, normalUpper, normalUpperQuantile, normalWithin } from './normal.ts'
import { type Fit, isConstant, meanOf, sortedSample, sumOf } from './sample.ts'

/*
 * Folded normal distribution: |Y| for Y normal with mean mu and standard deviation sigma; half-normal where mu = 0. All
 * functions throw ArgumentError where x is not a number, p is no probability, mu not finite, or sigma not a finite
 * number greater than zero.
 */

export interface FoldedNormalParameters {
  /** Mean of the normal distribution before folding; its sign cannot be told, and is taken as not negative. */
  readonly mu: number
  readonly sigma: number
}

function requireArguments(x: number, mu: number, sigma: number): void {
  requireNumber('x', x)
  requireFinite('mu', mu)
  requirePositive('sigma', sigma)
}

/** Density at x; zero below the support. */
export function foldedNormalDensity(x: number, mu: number, sigma: number): number {
  requireArguments(x, mu, sigma)
  if (x < 0) return 0
  return (normalDensity((x - mu) / sigma) + normalDensity((x + mu) / sigma)) / sigma
}

/** P[X ≤ x]. */
export function foldedNormalLower(x: number, mu: number, sigma: number): number {
  requireArguments(x, mu, sigma)
  return x <= 0 ? 0 : normalWithin(mu / sigma, x / sigma)
}

/** P[X > x]. */
export function foldedNormalUpper(x: number, mu: number, sigma: number): number {
  requireArguments(x, mu, sigma)
  return x <= 0 ? 1 : normalUpper((x - mu) / sigma) + normalUpper((x + mu) / sigma)
}

/** Newton's method in ln x, from a guess x > 0. */
function quantileFromTail(target: number, rising: boolean, mu: number, sigma: number, guess: number): number {
  const tail = rising ? foldedNormalLower : foldedNormalUpper
  const at = (u: number) => {
    const x = Math.exp(u)
    const slope = x * foldedNormalDensity(x, mu, sigma)
    return { tail: tail(x, mu, sigma), derivative: rising ? slope : -slope }
  }
  return Math.exp(invertTail(target, at, rising, Math.log(guess), 3))
}

function lowerQuantile(p: number, mu: number, sigma: number): number {
  const flat = p / foldedNormalDensity(0, mu, sigma)
  const guess = Math.max(Math.abs(mu) - sigma * normalUpperQuantile(p), sigma * 1e-3)
  return quantileFromTail(p, true, mu, sigma, flat < sigma / 4 ? flat : guess)
}

function upperQuantile(q: number, mu: number, sigma: number): number {
  return quantileFromTail(q, false, mu, sigma, Math.max(Math.abs(mu) + sigma * normalUpperQuantile(q), sigma))
}

/** The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1. */
export function foldedNormalQuantile(p: number, mu: number, sigma: number): number {
  requireProbability('p', p)
  requireArguments(0, mu, sigma)
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  return p <= 0.5 ? lowerQuantile(p, mu, sigma) : upperQuantile(1 - p, mu, sigma)
}

/** The x with P[X > x] = q; ∞ and 0 at q = 0 and 1. */
export function foldedNormalUpperQuantile(q: number, mu: number, sigma: number): number {
  requireProbability('q', q)
  requireArguments(0, mu, sigma)
  if (q === 0) return Number.POSITIVE_INFINITY
  if (q === 1) return 0
  return q <= 0.5 ? upperQuantile(q, mu, sigma) : lowerQuantile(1 - q, mu, sigma)
}

/**
 * Maximum likelihood. At the maximum mu² + sigma² is the mean square, and mu = mean of x tanh(mu x / sigma²); Brent's
 * method finds the mu greater than zero, which exists where the fourth moment is below three times the squared second.
 * Elsewhere mu = 0, the half-normal distribution. Source: M. Tsagris, C. Beneki and H. Hassani, Mathematics 2 (2014),
 * 12–28; the condition from a series of that equation. Null where all values are equal: the likelihood has no maximum.
 *
 * @param values n > 2 numbers not below zero
 * @throws ArgumentError where there are fewer, or one is not finite or below zero
 */
export function fitFoldedNormal(values: ArrayLike<number>): Fit<FoldedNormalParameters> | null {
  const sample = sortedSample(values, 3)
  if ((sample[0] as number) < 0)
    throw new ArgumentError('values', `the least value, ${sample[0]}, is below zero`)
  if (isConstant(sample)) return null
  const square = meanOf(sample, (x) => x * x)
  const root = Math.sqrt(square)
  const excess = (mu: number) => {
    const factor = mu / (square - mu * mu)
    return meanOf(sample, (x) => x * Math.tanh(factor * x)) / mu - 1
  }
  const least = 1e-4 * root
  const mu = excess(least) > 0 ? findRoot(excess, least, root * (1 - 1e-13)) : 0
  const sigma = Math.sqrt(square - mu * mu)
  // ln[φ(a) + φ(b)] with the smaller exponent taken out, so that neither underflows.
  const logLikelihood = sumOf(sample, (x) => {
    const z = (x - mu) / sigma
    return Math.log1p(Math.exp((-2 * x * mu) / (sigma * sigma))) - (z * z) / 2
  })
  return {
    mu,
    sigma,
    logLikelihood: logLikelihood - sample.length * Math.log(sigma * Math.sqrt(2 * Math.PI)),
  }
}
