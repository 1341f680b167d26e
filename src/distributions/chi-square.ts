import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { gammaLowerTail, gammaTerm, gammaUpperTail } from '../numbers/incomplete-gamma.ts'
import { standardGammaQuantile, standardGammaUpperQuantile } from './standard-gamma-quantile.ts'

/*
 * The chi-square distribution with df > 0 degrees of freedom, whole or not: gamma with shape df / 2 and scale 2.
 * Checked to twelve digits for df from 1 to 100,000.
 */

/**
 * Density at x; zero below the support, and infinite at x = 0 where df < 2.
 * @throws ArgumentError where x is not a number or df is not a finite number greater than zero
 */
export function chiSquareDensity(x: number, df: number): number {
  requireNumber('x', x)
  requirePositive('df', df)
  if (x < 0) return 0
  if (x === 0) return df < 2 ? Number.POSITIVE_INFINITY : df === 2 ? 0.5 : 0
  return gammaTerm(df / 2, x / 2) / x
}

/**
 * P[X ≤ x].
 * @throws ArgumentError as `chiSquareDensity`
 */
export function chiSquareLower(x: number, df: number): number {
  requireNumber('x', x)
  requirePositive('df', df)
  return gammaLowerTail(df / 2, Math.max(0, x) / 2)
}

/**
 * P[X > x].
 * @throws ArgumentError as `chiSquareDensity`
 */
export function chiSquareUpper(x: number, df: number): number {
  requireNumber('x', x)
  requirePositive('df', df)
  return gammaUpperTail(df / 2, Math.max(0, x) / 2)
}

/**
 * The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1.
 * @throws ArgumentError where p is no probability or df is not a finite number greater than zero
 */
export function chiSquareQuantile(p: number, df: number): number {
  requireProbability('p', p)
  requirePositive('df', df)
  return 2 * standardGammaQuantile(p, df / 2)
}

/**
 * The x with P[X > x] = q; ∞ and 0 at q = 0 and 1.
 * @throws ArgumentError where q is no probability or df is not a finite number greater than zero
 */
export function chiSquareUpperQuantile(q: number, df: number): number {
  requireProbability('q', q)
  requirePositive('df', df)
  return 2 * standardGammaUpperQuantile(q, df / 2)
}
