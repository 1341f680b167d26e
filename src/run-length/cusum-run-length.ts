import { normalDensity, normalLower, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { solveRunLength } from './integral-equation.ts'
import { multiplierFor } from './multiplier.ts'

/**
 * Average run length of a two-sided cumulative sum of independent normal points, both sums started at 0.
 *
 * Each sum solves an integral equation of its own; the two-sided run length follows from 1/L = 1/L⁺ + 1/L⁻, which
 * is exact for two sums with one allowance and one decision interval.
 *
 * Sources: E. S. Page, Continuous inspection schemes, Biometrika 41 (1954), 100–115; K. W. Kemp, The average run
 * length of the cumulative sum chart when a V-mask is used, Journal of the Royal Statistical Society B 23 (1961),
 * 149–153.
 *
 * @param allowance k, in standard deviations of a point; not negative
 * @param interval decision interval h, in standard deviations of a point; above 0
 * @param shift how far the true mean lies from target, in standard deviations of a point
 * @throws ArgumentError where an argument is out of range
 * @throws ConvergenceError where the integral equation does not settle
 */
export function cusumRunLength(allowance: number, interval: number, shift: number): number {
  checkAllowance(allowance)
  if (!(interval > 0 && Number.isFinite(interval))) {
    throw new ArgumentError('interval', `${interval} is not above 0`)
  }
  if (!Number.isFinite(shift)) throw new ArgumentError('shift', `${shift} is not finite`)
  const oneSided = (towards: number) =>
    solveRunLength({
      from: 0,
      to: interval,
      density: (y, u) => normalDensity(y - u + allowance - towards),
      restart: (u) => normalLower(allowance - u - towards),
      exit: (u) => normalUpper(interval - u + allowance - towards),
      start: 0,
    })
  return 1 / (1 / oneSided(shift) + 1 / oneSided(-shift))
}

/**
 * The decision interval h that gives a wanted in-control average run length.
 *
 * @param allowance k, in standard deviations of a point; not negative
 * @param runLength wanted average number of points between false alarms, above 1
 * @throws ArgumentError where an argument is out of range, or the run length is reached by no interval above 0
 * @throws ConvergenceError as `cusumRunLength`
 */
export function cusumInterval(allowance: number, runLength: number): number {
  checkAllowance(allowance)
  return multiplierFor((interval) => cusumRunLength(allowance, interval, 0), runLength)
}

function checkAllowance(allowance: number): void {
  if (!(allowance >= 0 && Number.isFinite(allowance))) {
    throw new ArgumentError('allowance', `${allowance} is negative or not finite`)
  }
}
