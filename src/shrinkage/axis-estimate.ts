import type { Axis } from '../domain/characteristic.ts'
import type { Estimate, Estimator } from './estimate.ts'
import type { Guess } from './information.ts'
import type { Coefficient } from './offsets.ts'

/** Shrinkage and offset along one axis. */
export interface AxisEstimate {
  /** Linear shrinkage as a fraction; apparent, with the offset in it, where `offset` is null for want of sizes. */
  readonly shrinkage: Estimate
  /** What does not scale, mm of the sintered part; null where it cannot be told or none acts. */
  readonly offset: Estimate | null
  /** Covariance of the two estimates, mm; 0 without an offset. */
  readonly covariance: number
}

/** @param solution coefficients as deviations from the guess, with their covariance */
export function axisEstimate(
  axis: Axis,
  solution: { readonly coefficients: Float64Array; readonly covariance: Float64Array },
  coefficients: readonly Coefficient[],
  guess: Guess,
  estimate: Estimator,
): AxisEstimate | null {
  const p = coefficients.length
  const kept = coefficients.findIndex((c) => c.axis === axis && c.quantity === 'kept')
  const offset = coefficients.findIndex((c) => c.axis === axis && c.quantity === 'offset')
  if (kept === -1) return null
  const value = 1 - guess[axis] - (solution.coefficients[kept] as number)
  const variance = solution.covariance[kept * p + kept] as number
  if (!Number.isFinite(variance)) return null
  return {
    shrinkage: estimate(value, variance),
    offset:
      offset === -1
        ? null
        : estimate(
            solution.coefficients[offset] as number,
            solution.covariance[offset * p + offset] as number,
          ),
    covariance: offset === -1 ? 0 : -(solution.covariance[kept * p + offset] as number),
  }
}
