import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { betaLowerTail, betaTerm, betaUpperTail } from '../numbers/incomplete-beta.ts'
import { betaRatioQuantile, betaRatioUpperQuantile } from './beta-ratio-quantile.ts'

/*
 * The F distribution with df1 and df2 degrees of freedom, whole or not, of a ratio of two mean squares.
 * Checked to twelve digits for degrees of freedom from 1 to 100,000.
 */

function requireDegrees(df1: number, df2: number): void {
  requirePositive('df1', df1)
  requirePositive('df2', df2)
}

/**
 * Density at x; zero below the support, and infinite at x = 0 where df1 < 2.
 * @throws ArgumentError where x is not a number or a df is not a finite number greater than zero
 */
export function fDensity(x: number, df1: number, df2: number): number {
  requireNumber('x', x)
  requireDegrees(df1, df2)
  if (x < 0) return 0
  if (x === 0) return df1 < 2 ? Number.POSITIVE_INFINITY : df1 === 2 ? 1 : 0
  return betaTerm(df1 / 2, df2 / 2, x) / x
}

/**
 * P[X ≤ x].
 * @throws ArgumentError as `fDensity`
 */
export function fLower(x: number, df1: number, df2: number): number {
  requireNumber('x', x)
  requireDegrees(df1, df2)
  return betaLowerTail(df1 / 2, df2 / 2, Math.max(0, x))
}

/**
 * P[X > x].
 * @throws ArgumentError as `fDensity`
 */
export function fUpper(x: number, df1: number, df2: number): number {
  requireNumber('x', x)
  requireDegrees(df1, df2)
  return betaUpperTail(df1 / 2, df2 / 2, Math.max(0, x))
}

/**
 * The x with P[X ≤ x] = p; 0 and ∞ at p = 0 and 1.
 * @throws ArgumentError where p is no probability or a df is not a finite number greater than zero
 */
export function fQuantile(p: number, df1: number, df2: number): number {
  requireProbability('p', p)
  requireDegrees(df1, df2)
  return betaRatioQuantile(p, df1 / 2, df2 / 2)
}

/**
 * The x with P[X > x] = q; ∞ and 0 at q = 0 and 1.
 * @throws ArgumentError where q is no probability or a df is not a finite number greater than zero
 */
export function fUpperQuantile(q: number, df1: number, df2: number): number {
  requireProbability('q', q)
  requireDegrees(df1, df2)
  return betaRatioUpperQuantile(q, df1 / 2, df2 / 2)
}
