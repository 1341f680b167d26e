import type { ScaleFactors } from '../domain/build.ts'
import { factorAt, usableFactor } from './observations.ts'
import type { ProcessState } from './state.ts'
import { AXES, millimetres, type SizeTerms } from './terms.ts'

/** What is expected of one characteristic under given factors. Millimetres. */
export interface SizeForecast {
  readonly mean: number
  /** Variance of that mean as an estimate of the process. */
  readonly meanVariance: number
  /** Variance of the mean of a build's parts around it, were there very many of them. */
  readonly betweenVariance: number
  /** Variance of single parts inside a build. */
  readonly withinVariance: number
  /** Builds behind it. */
  readonly builds: number
}

/**
 * Null where a factor is missing or an axis is not fitted.
 *
 * An axis's shrinkage is tied to the factor needed, k = (1 − g o) / h, so that an error of the offset o moves only how
 * sizes differ from one another, not the axis as a whole.
 */
export function forecastSize(
  state: ProcessState,
  terms: SizeTerms,
  factors: ScaleFactors,
): SizeForecast | null {
  const { characteristic, weights, sense } = terms
  const { scatter } = state.fit
  const standing = state.standing.get(characteristic.id)
  if (scatter === null || characteristic.nominal === null || standing === undefined) return null
  const nominal = characteristic.nominal * millimetres(characteristic)
  let mean = standing.value
  let meanVariance = standing.standardError ** 2
  let betweenVariance = 0
  let withinVariance = scatter.own.get(characteristic.id) ?? 0
  let builds = Number.POSITIVE_INFINITY
  for (const [a, axis] of AXES.entries()) {
    const weight = weights[axis]
    if (weight === 0) continue
    const factor = usableFactor(factorAt(factors, a))
    const axisState = state.axes[axis]
    if (factor === null || axisState === null) return null
    const scaled = nominal * factor * axisState.kept
    const byNeeded = scaled / axisState.needed
    const byOffset = sense - (nominal * factor * axisState.effect) / axisState.needed
    mean += weight * (scaled + sense * axisState.offset)
    meanVariance +=
      weight ** 2 * (byNeeded ** 2 * axisState.neededVariance + byOffset ** 2 * axisState.offsetVariance)
    betweenVariance += weight ** 2 * byNeeded ** 2 * axisState.buildVariance
    withinVariance += (weight * nominal) ** 2 * scatter.relative[axis]
    builds = Math.min(builds, axisState.builds)
  }
  return { mean, meanVariance, betweenVariance, withinVariance, builds }
}
