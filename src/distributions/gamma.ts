import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { findRoot } from '../numbers/brent.ts'
import { logMinusDigamma } from '../numbers/digamma.ts'
import { gammaLowerTail, gammaTerm, gammaUpperTail } from '../numbers/incomplete-gamma.ts'
import { logGamma } from '../numbers/stirling.ts'
import { type Fit, isConstant, meanOf, sortedPositiveSample } from './sample.ts'
import { standardGammaQuantile, standardGammaUpperQuantile } from './standard-gamma-quantile.ts'

/*
 * Gamma distribution with mean shape × scale. All functions throw ArgumentError where x is not a number, p is no
 * probability, or a parameter is not a finite number greater than zero.
 */

export interface GammaParameters {
  readonly shape: number
  readonly scale: number
}

function requireParameters(shape: number, scale: number): void {
  requirePositive('shape', shape)
  requirePositive('scale', scale)
}

/** Density at x; zero below the support, and infinite at x = 0 where shape < 1. */
export function gammaDensity(x: number, shape: number, scale: number): number {
  requireNumber('x', x)
  requireParameters(shape, scale)
  if (x < 0) return 0
  if (x === 0) return shape < 1 ? Number.POSITIVE_INFINITY : shape === 1 ? 1 / scale : 0
  return gammaTerm(shape, x / scale) / x
}

/** P[X ≤ x]. */
export function gammaLower(x: number, shape: number, scale: number): number {
  requireNumber('x', x)
  requireParameters(shape, scale)
  return gammaLowerTail(shape, Math.max(0, x) / scale)
}

/** P[X > x]. */
export function gammaUpper(x: number, shape: number, scale: number): number {
  requireNumber('x', x)
  requireParameters(shape, scale)
  return gammaUpperTail(shape, Math.max(0, x) / scale)
}

/** The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1. */
export function gammaQuantile(p: number, shape: number, scale: number): number {
  requireProbability('p', p)
  requireParameters(shape, scale)
  return scale * standardGammaQuantile(p, shape)
}

/** The x with P[X > x] = q; ∞ and 0 at q = 0 and 1. */
export function gammaUpperQuantile(q: number, shape: number, scale: number): number {
  requireProbability('q', q)
  requireParameters(shape, scale)
  return scale * standardGammaUpperQuantile(q, shape)
}

/**
 * Maximum likelihood: the shape solves ln shape − ψ(shape) = ln x̄ − mean of ln x, which has one solution; Brent's
 * method. Source: N. L. Johnson, S. Kotz and N. Balakrishnan, Continuous Univariate Distributions 1 (1994), chapter 17.
 * Null where all values are equal, so that the likelihood has no maximum, or so nearly equal that the shape would be
 * beyond 5e11, which doubles cannot tell.
 *
 * @param values n > 2 numbers greater than zero
 * @throws ArgumentError where there are fewer, or one is not finite or not greater than zero
 */
export function fitGamma(values: ArrayLike<number>): Fit<GammaParameters> | null {
  const sample = sortedPositiveSample(values, 3)
  if (isConstant(sample)) return null
  const mean = meanOf(sample, (x) => x)
  // Mean of −ln(x / x̄), which is greater than zero; log1p keeps its digits where the spread is small.
  const deficit = -meanOf(sample, (x) => {
    const deviation = (x - mean) / mean
    return Math.log1p(deviation) - deviation
  })
  if (deficit < 1e-12) return null
  // 1/(2 shape) < ln shape − ψ(shape) < 1/shape brackets the solution.
  const excess = (u: number) => logMinusDigamma(Math.exp(u)) - deficit
  const shape = Math.exp(findRoot(excess, Math.log(0.5 / deficit) - 1e-9, Math.log(1 / deficit) + 1e-9))
  const scale = mean / shape
  const logLikelihood =
    sample.length *
    ((shape - 1) * (Math.log(mean) - deficit) - shape - logGamma(shape) - shape * Math.log(scale))
  return { shape, scale, logLikelihood }
}
