import {
  requireFinite,
  requireNumber,
  requirePositive,
  requireProbability,
} from '../numbers/argument-checks.ts'

/*
 * Weibull distribution with P[X > x] = exp(−((x − threshold) / scale)^shape); the threshold is zero unless given. All
 * functions throw ArgumentError where x is not a number, p is no probability, threshold not finite, or shape or scale
 * not a finite number greater than zero.
 */

function requireParameters(shape: number, scale: number, threshold: number): void {
  requirePositive('shape', shape)
  requirePositive('scale', scale)
  requireFinite('threshold', threshold)
}

/** Distance from the threshold in units of the scale; zero below the support. */
function distance(x: number, shape: number, scale: number, threshold: number): number {
  requireNumber('x', x)
  requireParameters(shape, scale, threshold)
  return Math.max(0, x - threshold) / scale
}

/** Density at x; zero below the support, and infinite at the threshold where shape < 1. */
export function weibullDensity(x: number, shape: number, scale: number, threshold = 0): number {
  const y = distance(x, shape, scale, threshold)
  if (x < threshold || y === Number.POSITIVE_INFINITY) return 0
  if (y === 0) return shape < 1 ? Number.POSITIVE_INFINITY : shape === 1 ? 1 / scale : 0
  return (shape / scale) * Math.exp((shape - 1) * Math.log(y) - y ** shape)
}

/** P[X ≤ x]. */
export function weibullLower(x: number, shape: number, scale: number, threshold = 0): number {
  return -Math.expm1(-(distance(x, shape, scale, threshold) ** shape))
}

/** P[X > x]. */
export function weibullUpper(x: number, shape: number, scale: number, threshold = 0): number {
  return Math.exp(-(distance(x, shape, scale, threshold) ** shape))
}

/** The x with P[X ≤ x] = p; the threshold and ∞ at p = 0 and 1. */
export function weibullQuantile(p: number, shape: number, scale: number, threshold = 0): number {
  requireProbability('p', p)
  requireParameters(shape, scale, threshold)
  return threshold + scale * (-Math.log1p(-p)) ** (1 / shape)
}

/** The x with P[X > x] = q; ∞ and the threshold at q = 0 and 1. */
export function weibullUpperQuantile(q: number, shape: number, scale: number, threshold = 0): number {
  requireProbability('q', q)
  requireParameters(shape, scale, threshold)
  return threshold + scale * (-Math.log(q)) ** (1 / shape)
}
