import {
  type FoldedNormalParameters,
  foldedNormalDensity,
  foldedNormalLower,
  foldedNormalQuantile,
  foldedNormalUpper,
  foldedNormalUpperQuantile,
} from '../distributions/folded-normal.ts'
import {
  type GammaParameters,
  gammaDensity,
  gammaLower,
  gammaQuantile,
  gammaUpper,
  gammaUpperQuantile,
} from '../distributions/gamma.ts'
import {
  type JohnsonSBParameters,
  johnsonSBDensity,
  johnsonSBLower,
  johnsonSBQuantile,
  johnsonSBUpper,
  johnsonSBUpperQuantile,
} from '../distributions/johnson-sb.ts'
import {
  type JohnsonSLParameters,
  johnsonSLDensity,
  johnsonSLLower,
  johnsonSLQuantile,
  johnsonSLUpper,
  johnsonSLUpperQuantile,
} from '../distributions/johnson-sl.ts'
import {
  type JohnsonSUParameters,
  johnsonSUDensity,
  johnsonSULower,
  johnsonSUQuantile,
  johnsonSUUpper,
  johnsonSUUpperQuantile,
} from '../distributions/johnson-su.ts'
import {
  type LognormalParameters,
  lognormalDensity,
  lognormalLower,
  lognormalQuantile,
  lognormalUpper,
  lognormalUpperQuantile,
} from '../distributions/lognormal.ts'
import {
  normalDensity,
  normalLower,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
} from '../distributions/normal.ts'
import {
  type RayleighParameters,
  rayleighDensity,
  rayleighLower,
  rayleighQuantile,
  rayleighUpper,
  rayleighUpperQuantile,
} from '../distributions/rayleigh.ts'
import {
  weibullDensity,
  weibullLower,
  weibullQuantile,
  weibullUpper,
  weibullUpperQuantile,
} from '../distributions/weibull.ts'
import type { WeibullParameters } from '../distributions/weibull-fit.ts'

/** Mean and standard deviation, in the unit of the values. */
export interface NormalParameters {
  readonly mean: number
  readonly sigma: number
}

/** A distribution with its parameters, as plain data. */
export type FittedDistribution =
  | ({ readonly family: 'normal' } & NormalParameters)
  | ({ readonly family: 'folded normal' } & FoldedNormalParameters)
  | ({ readonly family: 'Rayleigh' } & RayleighParameters)
  | ({ readonly family: 'Weibull' } & WeibullParameters)
  | ({ readonly family: 'lognormal' } & LognormalParameters)
  | ({ readonly family: 'gamma' } & GammaParameters)
  | ({ readonly family: 'Johnson S_U' } & JohnsonSUParameters)
  | ({ readonly family: 'Johnson S_B' } & JohnsonSBParameters)
  | ({ readonly family: 'Johnson S_L' } & JohnsonSLParameters)

/** What can be asked of a distribution. All throw ArgumentError where x is not a number or p no probability. */
export interface DistributionFunctions {
  /** Density at x, per unit of x. */
  density(x: number): number
  /** P[X ≤ x]. */
  lower(x: number): number
  /** P[X > x]. */
  upper(x: number): number
  /** The x with P[X ≤ x] = p. */
  quantile(p: number): number
  /** The x with P[X > x] = q. */
  upperQuantile(q: number): number
}

/**
 * The functions of a distribution given as data.
 * @throws ArgumentError, on use, where a parameter is outside its range
 */
export function distributionFunctions(distribution: FittedDistribution): DistributionFunctions {
  const d = distribution
  switch (d.family) {
    case 'normal': {
      const standardised = (x: number) => (x - d.mean) / d.sigma
      return {
        density: (x) => normalDensity(standardised(x)) / d.sigma,
        lower: (x) => normalLower(standardised(x)),
        upper: (x) => normalUpper(standardised(x)),
        quantile: (p) => d.mean + d.sigma * normalQuantile(p),
        upperQuantile: (q) => d.mean + d.sigma * normalUpperQuantile(q),
      }
    }
    case 'folded normal':
      return {
        density: (x) => foldedNormalDensity(x, d.mu, d.sigma),
        lower: (x) => foldedNormalLower(x, d.mu, d.sigma),
        upper: (x) => foldedNormalUpper(x, d.mu, d.sigma),
        quantile: (p) => foldedNormalQuantile(p, d.mu, d.sigma),
        upperQuantile: (q) => foldedNormalUpperQuantile(q, d.mu, d.sigma),
      }
    case 'Rayleigh':
      return {
        density: (x) => rayleighDensity(x, d.sigma),
        lower: (x) => rayleighLower(x, d.sigma),
        upper: (x) => rayleighUpper(x, d.sigma),
        quantile: (p) => rayleighQuantile(p, d.sigma),
        upperQuantile: (q) => rayleighUpperQuantile(q, d.sigma),
      }
    case 'Weibull':
      return {
        density: (x) => weibullDensity(x, d.shape, d.scale, d.threshold),
        lower: (x) => weibullLower(x, d.shape, d.scale, d.threshold),
        upper: (x) => weibullUpper(x, d.shape, d.scale, d.threshold),
        quantile: (p) => weibullQuantile(p, d.shape, d.scale, d.threshold),
        upperQuantile: (q) => weibullUpperQuantile(q, d.shape, d.scale, d.threshold),
      }
    case 'lognormal':
      return {
        density: (x) => lognormalDensity(x, d.mu, d.sigma),
        lower: (x) => lognormalLower(x, d.mu, d.sigma),
        upper: (x) => lognormalUpper(x, d.mu, d.sigma),
        quantile: (p) => lognormalQuantile(p, d.mu, d.sigma),
        upperQuantile: (q) => lognormalUpperQuantile(q, d.mu, d.sigma),
      }
    case 'gamma':
      return {
        density: (x) => gammaDensity(x, d.shape, d.scale),
        lower: (x) => gammaLower(x, d.shape, d.scale),
        upper: (x) => gammaUpper(x, d.shape, d.scale),
        quantile: (p) => gammaQuantile(p, d.shape, d.scale),
        upperQuantile: (q) => gammaUpperQuantile(q, d.shape, d.scale),
      }
    case 'Johnson S_U':
      return {
        density: (x) => johnsonSUDensity(x, d.gamma, d.delta, d.xi, d.lambda),
        lower: (x) => johnsonSULower(x, d.gamma, d.delta, d.xi, d.lambda),
        upper: (x) => johnsonSUUpper(x, d.gamma, d.delta, d.xi, d.lambda),
        quantile: (p) => johnsonSUQuantile(p, d.gamma, d.delta, d.xi, d.lambda),
        upperQuantile: (q) => johnsonSUUpperQuantile(q, d.gamma, d.delta, d.xi, d.lambda),
      }
    case 'Johnson S_B':
      return {
        density: (x) => johnsonSBDensity(x, d.gamma, d.delta, d.xi, d.lambda),
        lower: (x) => johnsonSBLower(x, d.gamma, d.delta, d.xi, d.lambda),
        upper: (x) => johnsonSBUpper(x, d.gamma, d.delta, d.xi, d.lambda),
        quantile: (p) => johnsonSBQuantile(p, d.gamma, d.delta, d.xi, d.lambda),
        upperQuantile: (q) => johnsonSBUpperQuantile(q, d.gamma, d.delta, d.xi, d.lambda),
      }
    case 'Johnson S_L':
      return {
        density: (x) => johnsonSLDensity(x, d.gamma, d.delta, d.xi),
        lower: (x) => johnsonSLLower(x, d.gamma, d.delta, d.xi),
        upper: (x) => johnsonSLUpper(x, d.gamma, d.delta, d.xi),
        quantile: (p) => johnsonSLQuantile(p, d.gamma, d.delta, d.xi),
        upperQuantile: (q) => johnsonSLUpperQuantile(q, d.gamma, d.delta, d.xi),
      }
  }
}
