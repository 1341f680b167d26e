import type { Unit } from './information.ts'
import type { EffectKind } from './mixed-equations.ts'
import { median } from './observations.ts'
import { type Coefficient, toldBy } from './offsets.ts'
import { invert } from './small-systems.ts'

/** Median of a squared standard normal deviate. */
const MEDIAN_SQUARE = 0.4549364231195724

/** Where units tell nothing: builds differ by a twentieth of a percent, or by 2 µm of offset (common practice). */
const USUAL = { kept: 0.0005 ** 2, offset: 0.002 ** 2 } as const

/**
 * Variances to start the likelihood from, and those small enough to count as none: from how the coefficients of units
 * that tell them all scatter beyond their own errors. Medians, so that single wild units do not lead astray.
 */
export function startVariances(
  units: readonly Unit[],
  coefficients: readonly Coefficient[],
  kinds: readonly EffectKind[],
): { readonly start: Float64Array; readonly least: Float64Array } {
  const p = coefficients.length
  const values: number[][] = coefficients.map(() => [])
  const errors: number[][] = coefficients.map(() => [])
  for (const { information, score, design } of units) {
    if (!toldBy(design, coefficients).every((told) => told)) continue
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
    const usual = USUAL[(coefficients[coefficient] as Coefficient).quantity]
    const own = values[coefficient] as number[]
    const error = median(errors[coefficient] as number[]) ?? usual
    const centre = median(own) ?? 0
    const total =
      own.length < 5 ? usual : (median(own.map((v) => (v - centre) ** 2)) as number) / MEDIAN_SQUARE
    const between = Math.max(total - error, 0.2 * total, 0.01 * usual)
    start[t] = of === 'build' ? 0.8 * between : 0.2 * between
    least[t] = 1e-5 * Math.min(error, usual)
  }
  return { start, least }
}
