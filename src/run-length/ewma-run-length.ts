import { normalDensity, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { solveRunLength } from './integral-equation.ts'
import { multiplierFor } from './multiplier.ts'

/**
 * Average run length of an exponentially weighted moving average of independent normal points, started on target,
 * with both limits at ± `multiplier` times its asymptotic standard error, λ / (2 − λ) under the root.
 *
 * Source: S. V. Crowder, A simple method for studying run-length distributions of exponentially weighted moving
 * average charts, Technometrics 29 (1987), 401–407.
 *
 * @param lambda weight of the newest point, above 0 and at most 1
 * @param multiplier L, in standard errors of the average; above 0
 * @param shift how far the true mean lies from target, in standard deviations of a point
 * @throws ArgumentError where an argument is out of range
 * @throws ConvergenceError where the integral equation does not settle, as with λ below about 0.001
 */
export function ewmaRunLength(lambda: number, multiplier: number, shift: number): number {
  checkWeight(lambda)
  if (!(multiplier > 0 && Number.isFinite(multiplier))) {
    throw new ArgumentError('multiplier', `${multiplier} is not above 0`)
  }
  if (!Number.isFinite(shift)) throw new ArgumentError('shift', `${shift} is not finite`)
  const limit = multiplier * Math.sqrt(lambda / (2 - lambda))
  // With λ = 1 the next value does not depend on the last, and every point stands alone.
  if (lambda === 1) return 1 / (normalUpper(limit - shift) + normalUpper(limit + shift))
  return solveRunLength({
    from: -limit,
    to: limit,
    density: (y, u) => normalDensity((y - (1 - lambda) * u) / lambda - shift) / lambda,
    restart: () => 0,
    exit: (u) => {
      const centre = (1 - lambda) * u
      return normalUpper((limit - centre) / lambda - shift) + normalUpper((limit + centre) / lambda + shift)
    },
    start: 0,
  })
}

/**
 * The multiplier L that gives a wanted in-control average run length.
 *
 * @param lambda weight of the newest point, above 0 and at most 1
 * @param runLength wanted average number of points between false alarms, above 1
 * @throws ArgumentError where an argument is out of range
 * @throws ConvergenceError as `ewmaRunLength`
 */
export function ewmaMultiplier(lambda: number, runLength: number): number {
  checkWeight(lambda)
  return multiplierFor((multiplier) => ewmaRunLength(lambda, multiplier, 0), runLength)
}

function checkWeight(lambda: number): void {
  if (!(lambda > 0 && lambda <= 1))
    throw new ArgumentError('lambda', `${lambda} is not above 0 and at most 1`)
}
