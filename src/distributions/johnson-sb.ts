import { requireFinite, requireNumber, requirePositive } from '../numbers/argument-checks.ts'
import { minimise, ROUGH } from '../numbers/nelder-mead.ts'
import { countedValues, normalise } from './johnson-profile.ts'
import { normalDensity, normalLower, normalQuantile, normalUpper, normalUpperQuantile } from './normal.ts'
import { type Fit, isConstant, sortedSample } from './sample.ts'

/*
 * Johnson's S_B distribution, bounded: z = gamma + delta ln[(x − xi) / (xi + lambda − x)] is standard normal, for x between xi
 * and xi + lambda. Source: N. L. Johnson, Biometrika 36 (1949), 149–176. All functions throw ArgumentError where x is
 * not a number, p is no probability, gamma or xi not finite, or delta or lambda not a finite number greater than zero.
 */

export interface JohnsonSBParameters {
  readonly gamma: number
  readonly delta: number
  /** Lower end and length of the support, in the unit of the values. */
  readonly xi: number
  readonly lambda: number
}

function requireParameters(gamma: number, delta: number, xi: number, lambda: number): void {
  requireFinite('gamma', gamma)
  requirePositive('delta', delta)
  requireFinite('xi', xi)
  requirePositive('lambda', lambda)
}

function toNormal(x: number, gamma: number, delta: number, xi: number, lambda: number): number {
  requireNumber('x', x)
  requireParameters(gamma, delta, xi, lambda)
  const above = Math.max(0, x - xi)
  const below = Math.max(0, lambda - above)
  return gamma + delta * Math.log(above / below)
}

function fromNormal(z: number, gamma: number, delta: number, xi: number, lambda: number): number {
  requireParameters(gamma, delta, xi, lambda)
  return xi + lambda / (1 + Math.exp((gamma - z) / delta))
}

/** Density at x; zero outside the support and at its ends. */
export function johnsonSBDensity(
  x: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  const z = toNormal(x, gamma, delta, xi, lambda)
  if (!Number.isFinite(z)) return 0
  const above = x - xi
  return ((delta * lambda) / (above * (lambda - above))) * normalDensity(z)
}

/** P[X ≤ x]. */
export function johnsonSBLower(x: number, gamma: number, delta: number, xi: number, lambda: number): number {
  return normalLower(toNormal(x, gamma, delta, xi, lambda))
}

/** P[X > x]. */
export function johnsonSBUpper(x: number, gamma: number, delta: number, xi: number, lambda: number): number {
  return normalUpper(toNormal(x, gamma, delta, xi, lambda))
}

/** The x with P[X ≤ x] = p; the ends of the support at p = 0 and 1. */
export function johnsonSBQuantile(
  p: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  return fromNormal(normalQuantile(p), gamma, delta, xi, lambda)
}

/** The x with P[X > x] = q; the ends of the support at q = 1 and 0. */
export function johnsonSBUpperQuantile(
  q: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  return fromNormal(normalUpperQuantile(q), gamma, delta, xi, lambda)
}

/**
 * Maximum likelihood: the local maximum, by the simplex method, of the profile over the logarithms of the distances of
 * the two ends from the outermost values; gamma and delta in closed form. Parameters are good to about six digits, the
 * log-likelihood to twelve. (The likelihood itself has no bound as an end reaches a value; that is not meant.)
 *
 * Null where there is no such maximum: the values are all equal, or an end runs off, towards a lognormal or normal
 * distribution, or runs into the outermost value.
 *
 * @param values n > 4 numbers
 * @param near fit to values like these, to begin at; the log-likelihood is then good to seven digits
 * @throws ArgumentError where there are fewer or one is not finite
 * @throws ConvergenceError where the simplex method does not settle
 */
export function fitJohnsonSB(
  values: ArrayLike<number>,
  near: JohnsonSBParameters | null = null,
): Fit<JohnsonSBParameters> | null {
  const sample = sortedSample(values, 5)
  if (isConstant(sample)) return null
  const least = sample[0] as number
  const greatest = sample[sample.length - 1] as number
  const range = greatest - least
  const counted = countedValues(sample)
  const { value, count } = counted
  const profile = (xi: number, end: number) =>
    normalise(counted, (transformed) => {
      let logs = 0
      for (let i = 0; i < value.length; i++) {
        const above = Math.log((value[i] as number) - xi)
        const below = Math.log(end - (value[i] as number))
        transformed[i] = above - below
        logs += (count[i] as number) * (above + below)
      }
      return sample.length * Math.log(end - xi) - logs
    })
  const outside = (v: number) => v < -9 || v > 7
  const ends = (v: readonly number[]): [number, number] => [
    least - range * Math.exp(v[0] as number),
    greatest + range * Math.exp(v[1] as number),
  ]
  const loss = (v: readonly number[]) =>
    v.some(outside) ? Number.POSITIVE_INFINITY : -profile(...ends(v)).logLikelihood
  const begin =
    near === null
      ? null
      : [Math.log((least - near.xi) / range), Math.log((near.xi + near.lambda - greatest) / range)]
  const isUsable = begin?.every((v) => Number.isFinite(v) && !outside(v)) ?? false
  const { at } = isUsable
    ? minimise(loss, begin as number[], [0.2, 0.2], ROUGH)
    : minimise(loss, [-2, -2], [0.5, 0.5])
  // At the edge of the search an end has run off or run in.
  if (at.some((v) => outside(v - 0.1) || outside(v + 0.1))) return null
  const [xi, end] = ends(at)
  return { ...profile(xi, end), xi, lambda: end - xi }
}
