import type { EffectKind } from './build-components.ts'
import type { Unit } from './information.ts'
import type { Coefficient } from './offsets.ts'
import { invert } from './small-systems.ts'

/**
 * Variances to start the likelihood from, and those small enough to count as none: from how the coefficients of single
 * units scatter beyond their own errors.
 */
export function startVariances(
  units: readonly Unit[],
  coefficients: readonly Coefficient[],
  kinds: readonly EffectKind[],
): { readonly start: Float64Array; readonly least: Float64Array } {
  const p = coefficients.length
  const values: number[][] = coefficients.map(() => [])
  const errors: number[][] = coefficients.map(() => [])
  for (const { information, score } of units) {
    const covariance = invert(information, p)
    if (covariance === null) continue
    for (let i = 0; i < p; i++) {
      values[i]?.push(score.reduce((sum, s, j) => sum + (covariance[i * p + j] as number) * s, 0))
      errors[i]?.push(covariance[i * p + i] as number)
    }
  }
  const start = new Float64Array(kinds.length)
  const least = new Float64Array(kinds.length)
  for (const [t, { of, coefficient }] of kinds.entries()) {
    const own = values[coefficient] as number[]
    const error =
      own.length === 0 ? smallestError(units, coefficient, p) : mean(errors[coefficient] as number[])
    const centre = mean(own)
    const total = own.length < 3 ? 2 * error : mean(own.map((v) => (v - centre) ** 2))
    const between = Math.max(total - error, 0.2 * total)
    start[t] = of === 'build' ? 0.8 * between : 0.2 * between
    least[t] = 1e-5 * error
  }
  return { start, least }
}

/** Variance of a coefficient where a unit tells of nothing else; for units that do not tell them all. */
function smallestError(units: readonly Unit[], coefficient: number, p: number): number {
  const told = units.map((u) => u.information[coefficient * p + coefficient] as number).filter((a) => a > 0)
  return 1 / mean(told)
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, v) => sum + v, 0) / values.length
}
