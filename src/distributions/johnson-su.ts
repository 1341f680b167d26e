import { requireFinite, requireNumber, requirePositive } from '../numbers/argument-checks.ts'
import { minimise, ROUGH } from '../numbers/nelder-mead.ts'
import { countedValues, normalise } from './johnson-profile.ts'
import { normalDensity, normalLower, normalQuantile, normalUpper, normalUpperQuantile } from './normal.ts'
import { type Fit, isConstant, sortedSample } from './sample.ts'

/*
 * Johnson's S_U distribution, unbounded: z = gamma + delta arsinh((x − xi) / lambda) is standard normal.
 * Source: N. L. Johnson, Biometrika 36 (1949), 149–176. All functions throw ArgumentError where x is not a number, p is
 * no probability, gamma or xi not finite, or delta or lambda not a finite number greater than zero.
 */

export interface JohnsonSUParameters {
  readonly gamma: number
  readonly delta: number
  /** Location and scale, in the unit of the values. */
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
  return gamma + delta * Math.asinh((x - xi) / lambda)
}

function fromNormal(z: number, gamma: number, delta: number, xi: number, lambda: number): number {
  requireParameters(gamma, delta, xi, lambda)
  return xi + lambda * Math.sinh((z - gamma) / delta)
}

/** Density at x. */
export function johnsonSUDensity(
  x: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  const z = toNormal(x, gamma, delta, xi, lambda)
  return (delta / Math.hypot(lambda, x - xi)) * normalDensity(z)
}

/** P[X ≤ x]. */
export function johnsonSULower(x: number, gamma: number, delta: number, xi: number, lambda: number): number {
  return normalLower(toNormal(x, gamma, delta, xi, lambda))
}

/** P[X > x]. */
export function johnsonSUUpper(x: number, gamma: number, delta: number, xi: number, lambda: number): number {
  return normalUpper(toNormal(x, gamma, delta, xi, lambda))
}

/** The x with P[X ≤ x] = p; −∞ and ∞ at p = 0 and 1. */
export function johnsonSUQuantile(
  p: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  return fromNormal(normalQuantile(p), gamma, delta, xi, lambda)
}

/** The x with P[X > x] = q; ∞ and −∞ at q = 0 and 1. */
export function johnsonSUUpperQuantile(
  q: number,
  gamma: number,
  delta: number,
  xi: number,
  lambda: number,
): number {
  return fromNormal(normalUpperQuantile(q), gamma, delta, xi, lambda)
}

/**
 * Maximum likelihood: the local maximum, by the simplex method, of the profile over xi and ln lambda; gamma and delta in
 * closed form. Parameters are good to about six digits, the log-likelihood to twelve. (The likelihood itself has no
 * bound as lambda vanishes at a value; that degenerate end is not meant.)
 *
 * Null where there is no such maximum: the values are all equal, or their tails are no heavier than those of a normal or
 * lognormal distribution, to which the fit then runs off, or they heap at one value.
 *
 * @param values n > 4 numbers
 * @param near fit to values like these, to begin at; the log-likelihood is then good to seven digits
 * @throws ArgumentError where there are fewer or one is not finite
 * @throws ConvergenceError where the simplex method does not settle
 */
export function fitJohnsonSU(
  values: ArrayLike<number>,
  near: JohnsonSUParameters | null = null,
): Fit<JohnsonSUParameters> | null {
  const sample = sortedSample(values, 5)
  if (isConstant(sample)) return null
  const n = sample.length
  const at = (part: number) => sample[Math.round(part * (n - 1))] as number
  const median = at(0.5)
  const unit = at(0.84) > at(0.16) ? (at(0.84) - at(0.16)) / 2 : at(1) - at(0)
  const counted = countedValues(sample)
  const { value, count } = counted
  const profile = (xi: number, lambda: number) =>
    normalise(counted, (transformed) => {
      let logs = 0
      for (let i = 0; i < value.length; i++) {
        const u = ((value[i] as number) - xi) / lambda
        transformed[i] = Math.asinh(u)
        logs += (count[i] as number) * Math.log1p(u * u)
      }
      return -0.5 * logs - n * Math.log(lambda)
    })
  const runsOff = ([place, logScale]: readonly number[]) =>
    Math.abs(place as number) > 100 || Math.abs(logScale as number) > 6
  const loss = (v: readonly number[]) =>
    runsOff(v)
      ? Number.POSITIVE_INFINITY
      : -profile(median + unit * (v[0] as number), unit * Math.exp(v[1] as number)).logLikelihood
  const begin = near === null ? null : [(near.xi - median) / unit, Math.log(near.lambda / unit)]
  const { at: best } =
    begin === null || runsOff(begin)
      ? minimise(loss, [0, 0.3], [0.3, 0.3])
      : minimise(loss, begin, [0.1, 0.1], ROUGH)
  const [place, logScale] = best as [number, number]
  // At the edge of the search the fit has run off towards a limiting distribution.
  if (Math.abs(place) > 99 || Math.abs(logScale) > 5.9) return null
  const xi = median + unit * place
  const lambda = unit * Math.exp(logScale)
  return { ...profile(xi, lambda), xi, lambda }
}
