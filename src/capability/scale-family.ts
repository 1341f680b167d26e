import { logGamma } from '../numbers/stirling.ts'
import { aboveZero } from './above-zero.ts'
import type { FittedDistribution } from './fitted-distribution.ts'

/** A family of distributions of a scale times a variable whose shape has at most one parameter, seen by some values. */
export interface ScaleFamily {
  readonly parameters: number
  /** Of the fitted distribution. */
  readonly shape: number
  readonly scale: number
  /** Shapes that the values may have come from, by far; both the same where the family has one shape only. */
  readonly shapes: { readonly from: number; readonly to: number }
  /** The distribution of that shape with the scale 1. */
  unit(shape: number): FittedDistribution
  /** Of the values. */
  logLikelihood(shape: number, scale: number): number
}

const HALF_LOG_2_PI = Math.log(2 * Math.PI) / 2

/**
 * The family of a fitted distribution as scale and shape; null where it is none: normal and Johnson distributions have a
 * place of their own.
 *
 * @param values what it was fitted to
 */
export function scaleFamilyOf(fitted: FittedDistribution, values: ArrayLike<number>): ScaleFamily | null {
  // As `fitFamily` reads them.
  const x = Float64Array.from(fitted.family === 'folded normal' ? values : aboveZero(values))
  const n = x.length
  switch (fitted.family) {
    case 'folded normal': {
      // The shape is mu over sigma.
      const shape = fitted.mu / fitted.sigma
      const reach = 2 + (FAR * shape) / Math.sqrt(n)
      return {
        parameters: 2,
        shape,
        scale: fitted.sigma,
        shapes: { from: Math.max(0, shape - reach), to: shape + reach },
        unit: (r) => ({ family: 'folded normal', mu: r, sigma: 1 }),
        logLikelihood(r, s) {
          let sum = 0
          for (let i = 0; i < n; i++) {
            const z = (x[i] as number) / s
            sum += Math.log1p(Math.exp(-2 * z * r)) - (z - r) ** 2 / 2
          }
          return sum - n * (Math.log(s) + HALF_LOG_2_PI)
        },
      }
    }
    case 'Rayleigh':
      return {
        parameters: 1,
        shape: 0,
        scale: fitted.sigma,
        shapes: { from: 0, to: 0 },
        unit: () => ({ family: 'Rayleigh', sigma: 1 }),
        logLikelihood(_, s) {
          let sum = 0
          for (let i = 0; i < n; i++) sum += Math.log(x[i] as number) - ((x[i] as number) / s) ** 2 / 2
          return sum - 2 * n * Math.log(s)
        },
      }
    case 'Weibull': {
      const logs = x.map(Math.log)
      return {
        parameters: 2,
        ...logarithmic(fitted.shape, n),
        scale: fitted.scale,
        unit: (k) => ({ family: 'Weibull', shape: Math.exp(k), scale: 1, threshold: 0 }),
        logLikelihood(logShape, s) {
          const k = Math.exp(logShape)
          const logScale = Math.log(s)
          let sum = 0
          for (let i = 0; i < n; i++) {
            const z = k * ((logs[i] as number) - logScale)
            sum += z - Math.exp(z) - (logs[i] as number)
          }
          return sum + n * logShape
        },
      }
    }
    case 'lognormal': {
      const logs = x.map(Math.log)
      return {
        parameters: 2,
        ...logarithmic(fitted.sigma, n),
        scale: Math.exp(fitted.mu),
        unit: (sigma) => ({ family: 'lognormal', mu: 0, sigma: Math.exp(sigma) }),
        logLikelihood(logSigma, s) {
          const sigma = Math.exp(logSigma)
          const mu = Math.log(s)
          let sum = 0
          for (let i = 0; i < n; i++) {
            sum -= ((logs[i] as number) - mu) ** 2 / (2 * sigma * sigma) + (logs[i] as number)
          }
          return sum - n * (logSigma + HALF_LOG_2_PI)
        },
      }
    }
    case 'gamma': {
      const total = x.reduce((sum, value) => sum + value, 0)
      const logs = x.reduce((sum, value) => sum + Math.log(value), 0)
      return {
        parameters: 2,
        ...logarithmic(fitted.shape, n),
        scale: fitted.scale,
        unit: (k) => ({ family: 'gamma', shape: Math.exp(k), scale: 1 }),
        logLikelihood(logShape, s) {
          const k = Math.exp(logShape)
          return (k - 1) * logs - total / s - n * (k * Math.log(s) + logGamma(k))
        },
      }
    }
    default:
      return null
  }
}

/** Standard errors to either side that shapes are looked for in. */
const FAR = 8

/** A shape parameter on the scale of logarithms, where its standard error is about 1 / √n, whatever it is. */
function logarithmic(shape: number, n: number): Pick<ScaleFamily, 'shape' | 'shapes'> {
  const at = Math.log(shape)
  const reach = Math.min(3, (1.5 * FAR) / Math.sqrt(n))
  return { shape: at, shapes: { from: at - reach, to: at + reach } }
}
