import { requireFinite, requireNumber, requirePositive } from '../numbers/argument-checks.ts'
import { countedValues, normalise } from './johnson-profile.ts'
import { normalDensity, normalLower, normalQuantile, normalUpper, normalUpperQuantile } from './normal.ts'
import { type Fit, isConstant, meanOf, sortedSample, sumOf } from './sample.ts'
import { bestThreshold } from './threshold-search.ts'

/*
 * Johnson's S_L distribution, the lognormal with a threshold: z = gamma + delta ln(x − xi) is standard normal, x > xi.
 * Source: N. L. Johnson, Biometrika 36 (1949), 149–176. All functions throw ArgumentError where x is not a number, p is
 * no probability, gamma or xi not finite, or delta not a finite number greater than zero.
 */

export interface JohnsonSLParameters {
  readonly gamma: number
  readonly delta: number
  /** Lower end of the support, in the unit of the values. */
  readonly xi: number
}

function requireParameters(gamma: number, delta: number, xi: number): void {
  requireFinite('gamma', gamma)
  requirePositive('delta', delta)
  requireFinite('xi', xi)
}

function toNormal(x: number, gamma: number, delta: number, xi: number): number {
  requireNumber('x', x)
  requireParameters(gamma, delta, xi)
  return gamma + delta * Math.log(Math.max(0, x - xi))
}

function fromNormal(z: number, gamma: number, delta: number, xi: number): number {
  requireParameters(gamma, delta, xi)
  return xi + Math.exp((z - gamma) / delta)
}

/** Density at x; zero for x ≤ xi. */
export function johnsonSLDensity(x: number, gamma: number, delta: number, xi: number): number {
  const z = toNormal(x, gamma, delta, xi)
  return Number.isFinite(z) ? (delta / (x - xi)) * normalDensity(z) : 0
}

/** P[X ≤ x]. */
export function johnsonSLLower(x: number, gamma: number, delta: number, xi: number): number {
  return normalLower(toNormal(x, gamma, delta, xi))
}

/** P[X > x]. */
export function johnsonSLUpper(x: number, gamma: number, delta: number, xi: number): number {
  return normalUpper(toNormal(x, gamma, delta, xi))
}

/** The x with P[X ≤ x] = p; xi and ∞ at p = 0 and 1. */
export function johnsonSLQuantile(p: number, gamma: number, delta: number, xi: number): number {
  return fromNormal(normalQuantile(p), gamma, delta, xi)
}

/** The x with P[X > x] = q; ∞ and xi at q = 0 and 1. */
export function johnsonSLUpperQuantile(q: number, gamma: number, delta: number, xi: number): number {
  return fromNormal(normalUpperQuantile(q), gamma, delta, xi)
}

/**
 * Maximum likelihood: the local maximum of the profile over xi; gamma and delta in closed form.
 * Null where there is no such maximum: the values are all equal, or not skewed to the right, so that the likelihood still
 * grows towards the normal distribution as xi falls away.
 *
 * @param values n > 3 numbers
 * @throws ArgumentError where there are fewer or one is not finite
 */
export function fitJohnsonSL(values: ArrayLike<number>): Fit<JohnsonSLParameters> | null {
  const sample = sortedSample(values, 4)
  if (isConstant(sample)) return null
  const least = sample[0] as number
  const range = (sample[sample.length - 1] as number) - least
  const counted = countedValues(sample)
  const above = (xi: number) =>
    normalise(counted, (transformed) => {
      let logs = 0
      for (const [i, x] of counted.value.entries()) {
        transformed[i] = Math.log(x - xi)
        logs += (counted.count[i] as number) * (transformed[i] as number)
      }
      return -logs
    })
  const score = (xi: number) => {
    const logs = sample.map((x) => Math.log(x - xi))
    const mean = meanOf(logs, (y) => y)
    const variance = meanOf(logs, (y) => (y - mean) ** 2)
    return sumOf(sample, (x) => (1 + (Math.log(x - xi) - mean) / variance) / (x - xi))
  }
  const xi = bestThreshold(least, range, score, (t) => above(t).logLikelihood)
  return xi === null ? null : { ...above(xi), xi }
}
