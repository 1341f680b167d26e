import { neededFactorLevel, neededFactors } from './adjustment.ts'
import { offsetEffect } from './aim.ts'
import type { ShrinkageFit } from './fit.ts'
import { perAxis } from './observations.ts'
import { AXES, type PerAxis } from './terms.ts'

/** Where one axis stands now, for forecasts of the next builds. */
export interface AxisState {
  /** The factor needed, its variance, and the variance of single builds around it. */
  readonly needed: number
  readonly neededVariance: number
  readonly buildVariance: number
  /** Fraction of the green size that is left. */
  readonly kept: number
  /** Mean offset, mm, and its variance, mm²; 0 where none is fitted. */
  readonly offset: number
  readonly offsetVariance: number
  /** Effect of the offset on the axis as a whole, 1/mm. */
  readonly effect: number
  /** Builds behind it. */
  readonly builds: number
}

/** What the next build is expected to be like, and how each characteristic stands off from the model. */
export interface ProcessState {
  readonly fit: ShrinkageFit
  readonly axes: PerAxis<AxisState | null>
  /** By characteristic id. */
  readonly standing: ReadonlyMap<number, StandingDeviation>
}

/**
 * What a characteristic keeps off the size that shrinkage and offset of its builds explain, mm: sag, a draught, a
 * gauge's bias, or a sense that is told wrongly.
 */
export interface StandingDeviation {
  readonly value: number
  readonly standardError: number
  readonly builds: number
}

/**
 * The exponentially weighted level of each axis; its mean where too few builds tell of a level.
 *
 * @param newestWeight see `AdjustmentSettings`
 */
export function processState(fit: ShrinkageFit, newestWeight: number | null = null): ProcessState {
  const axes = perAxis((axis): AxisState | null => {
    const overall = fit.overall[axis]
    if (overall === null) return null
    const effect = offsetEffect(fit.terms, axis)
    const offset = overall.offset?.value ?? 0
    const level = neededFactorLevel(neededFactors(fit, axis), newestWeight)
    const kept = 1 - overall.shrinkage.value
    const needed = level?.value ?? (1 - effect * offset) / kept
    const between = fit.variation[axis]
    return {
      needed,
      neededVariance: (level?.standardError ?? (needed * overall.shrinkage.standardError) / kept) ** 2,
      buildVariance: (level?.sigma ?? ((between?.buildShrinkage ?? 0) * needed) / kept) ** 2,
      kept: (1 - effect * offset) / needed,
      offset,
      offsetVariance: (overall.offset?.standardError ?? 0) ** 2,
      effect,
      builds: level?.builds ?? fit.perBuild.length,
    }
  })
  return { fit, axes, standing: standingDeviations(fit) }
}

function standingDeviations(fit: ShrinkageFit): Map<number, StandingDeviation> {
  const ofBuild = new Map(fit.perBuild.map((build) => [build.position, build.axes]))
  const residuals = new Map<number, number[]>()
  for (const o of [...fit.observations, ...fit.apart]) {
    if (o.isGreen) continue
    const axes = ofBuild.get(o.build)
    let rest = o.mean
    for (const axis of AXES) {
      if (o.terms.weights[axis] === 0) continue
      const estimate = axes?.[axis]
      if (estimate === null || estimate === undefined) {
        rest = Number.NaN
        break
      }
      rest -= o.green[axis] * (1 - estimate.shrinkage.value)
      rest -= o.terms.weights[axis] * o.sense * (estimate.offset?.value ?? 0)
    }
    if (Number.isNaN(rest)) continue
    const { id } = o.terms.characteristic
    const known = residuals.get(id)
    if (known === undefined) residuals.set(id, [rest])
    else known.push(rest)
  }
  return new Map(
    [...residuals].map(([id, own]) => {
      const mean = own.reduce((sum, r) => sum + r, 0) / own.length
      const squares = own.reduce((sum, r) => sum + (r - mean) ** 2, 0)
      const standardError = own.length < 2 ? 0 : Math.sqrt(squares / (own.length - 1) / own.length)
      return [id, { value: mean, standardError, builds: own.length }]
    }),
  )
}
