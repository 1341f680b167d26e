import { ArgumentError } from '../errors.ts'

/** An exponentially weighted moving average with its limits, parallel to the points. */
export interface EwmaChart {
  readonly values: Float64Array
  readonly lower: Float64Array
  readonly upper: Float64Array
}

export interface EwmaSettings {
  /** Weight of the newest point, above 0 and at most 1. */
  readonly weight: number
  /** Limits in standard errors of the average. */
  readonly multiplier: number
}

/**
 * EWMA chart of points that may differ in their standard error, as means of unequal subgroups do.
 *
 * zᵢ = λ xᵢ + (1 − λ) zᵢ₋₁ from z₀ = target; its variance follows the same recursion, λ² σᵢ² + (1 − λ)² v, so
 * that limits are exact from the first point on and tend to the asymptotic ones for equal errors.
 *
 * Source: S. W. Roberts, Technometrics 1 (1959), 239–250; J. M. Lucas and M. S. Saccucci, Technometrics 32
 * (1990), 1–29.
 *
 * @param points k values in one unit
 * @param errors their standard errors, k values above zero in that unit
 * @throws ArgumentError where lengths differ, a value is not finite, or weight or multiplier is out of range
 */
export function ewmaChart(
  points: ArrayLike<number>,
  errors: ArrayLike<number>,
  target: number,
  { weight, multiplier }: EwmaSettings,
): EwmaChart {
  checkPoints(points, errors)
  if (!(weight > 0 && weight <= 1))
    throw new ArgumentError('weight', `${weight} is not above 0 and at most 1`)
  if (!(multiplier > 0)) throw new ArgumentError('multiplier', `${multiplier} is not above 0`)
  const k = points.length
  const chart = { values: new Float64Array(k), lower: new Float64Array(k), upper: new Float64Array(k) }
  const rest = 1 - weight
  let z = target
  let variance = 0
  for (let i = 0; i < k; i++) {
    z = weight * (points[i] as number) + rest * z
    variance = (weight * (errors[i] as number)) ** 2 + rest * rest * variance
    const reach = multiplier * Math.sqrt(variance)
    chart.values[i] = z
    chart.lower[i] = target - reach
    chart.upper[i] = target + reach
  }
  return chart
}

/** @throws ArgumentError where points and errors cannot be charted */
export function checkPoints(points: ArrayLike<number>, errors: ArrayLike<number>): void {
  if (points.length !== errors.length) {
    throw new ArgumentError('errors', `${errors.length} standard errors for ${points.length} points`)
  }
  for (let i = 0; i < points.length; i++) {
    if (!Number.isFinite(points[i])) throw new ArgumentError('points', `point ${i + 1} is not finite`)
    if (!((errors[i] as number) > 0))
      throw new ArgumentError('errors', `standard error ${i + 1} is not above zero`)
  }
}
