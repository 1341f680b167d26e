import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { betaLowerTail, betaUpperTail } from '../numbers/incomplete-beta.ts'
import { gammaHalfStepRatio } from '../numbers/stirling.ts'
import { betaRatioQuantile, betaRatioUpperQuantile } from './beta-ratio-quantile.ts'

/*
 * Student's t with nu > 0 degrees of freedom, whole or not. t² has the F distribution with 1 and nu degrees of freedom,
 * and the tails follow from it. Checked to twelve digits for nu from 1 to 100,000.
 */

const INVERSE_ROOT_TWO_PI = 0.3989422804014327
/** Beyond this |t| its square overflows; the tail is its leading term there to every digit. */
const FAR = 1e120

/**
 * Density at t.
 * @throws ArgumentError where t is not a number or nu is not a finite number greater than zero
 */
export function studentDensity(t: number, nu: number): number {
  requireNumber('t', t)
  requirePositive('nu', nu)
  const logBase = Math.abs(t) > FAR ? 2 * Math.log(Math.abs(t)) - Math.log(nu) : Math.log1p((t * t) / nu)
  return INVERSE_ROOT_TWO_PI * gammaHalfStepRatio(nu / 2) * Math.exp(-((nu + 1) / 2) * logBase)
}

/** ln of the factor c in the leading term c t^(−ν) of the upper tail. */
function logFarScale(nu: number): number {
  return Math.log(INVERSE_ROOT_TWO_PI * gammaHalfStepRatio(nu / 2)) + ((nu - 1) / 2) * Math.log(nu)
}

/** Upper tail for t ≥ 0. */
function upperHalf(t: number, nu: number): number {
  if (t === Number.POSITIVE_INFINITY) return 0
  if (t > FAR) return Math.exp(logFarScale(nu) - nu * Math.log(t))
  return betaUpperTail(0.5, nu / 2, t * t) / 2
}

/**
 * P[T ≤ t].
 * @throws ArgumentError as `studentDensity`
 */
export function studentLower(t: number, nu: number): number {
  return studentUpper(-t, nu)
}

/**
 * P[T > t].
 * @throws ArgumentError as `studentDensity`
 */
export function studentUpper(t: number, nu: number): number {
  requireNumber('t', t)
  requirePositive('nu', nu)
  if (t >= 0) return upperHalf(t, nu)
  return t < -1 ? 1 - upperHalf(-t, nu) : 0.5 + betaLowerTail(0.5, nu / 2, t * t) / 2
}

/** Positive t with upper tail q, 0 < q < ½. */
function positiveQuantile(q: number, nu: number): number {
  if (q >= 0.25) return Math.sqrt(betaRatioQuantile(1 - 2 * q, 0.5, nu / 2))
  const logFar = (logFarScale(nu) - Math.log(q)) / nu
  if (logFar > 150) return Math.exp(logFar)
  return Math.sqrt(betaRatioUpperQuantile(2 * q, 0.5, nu / 2))
}

/**
 * The t with P[T ≤ t] = p; −∞ and ∞ at p = 0 and 1.
 * @throws ArgumentError where p is no probability or nu is not a finite number greater than zero
 */
export function studentQuantile(p: number, nu: number): number {
  requireProbability('p', p)
  requirePositive('nu', nu)
  if (p === 0) return Number.NEGATIVE_INFINITY
  if (p === 1) return Number.POSITIVE_INFINITY
  if (p === 0.5) return 0
  return p < 0.5 ? -positiveQuantile(p, nu) : positiveQuantile(1 - p, nu)
}

/**
 * The t with P[T > t] = q; ∞ and −∞ at q = 0 and 1.
 * @throws ArgumentError where q is no probability or nu is not a finite number greater than zero
 */
export function studentUpperQuantile(q: number, nu: number): number {
  requireProbability('q', q)
  // A difference, so that the middle is 0 rather than −0.
  return 0 - studentQuantile(q, nu)
}
