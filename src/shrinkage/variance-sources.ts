import type { Axis } from '../domain/characteristic.ts'
import { formatNumber } from '../words/format.ts'
import type { ShrinkageFit } from './fit.ts'
import type { PlaceEffects, PlaceKind } from './place-effects.ts'

/** Where the variance of shrinkage along an axis comes from. Shares add up to 1. */
export interface VarianceSource {
  readonly source: 'builds' | 'furnace loads' | PlaceKind | 'parts'
  readonly share: number
}

/**
 * All sources of variance at once: builds and furnace loads from the fit, places and trays from the parts, and what is
 * left of parts. In this they differ from `explainedShares`, which looks at one condition at a time.
 */
export function varianceSources(
  { overall, variation, scatter }: ShrinkageFit,
  axis: Axis,
  places: PlaceEffects | null,
): VarianceSource[] {
  const own = variation[axis]
  if (own === null || scatter === null) return []
  // A part larger by e, as a fraction, shrank less by e times what is left of it.
  const squared = (1 - (overall[axis]?.shrinkage.value ?? 0)) ** 2
  const placed = places?.components ?? []
  const explained = placed.reduce((sum, { variance }) => sum + variance, 0)
  const variances: (readonly [VarianceSource['source'], number | null])[] = [
    ['builds', own.buildShrinkage === null ? null : own.buildShrinkage ** 2],
    ['furnace loads', own.loadShrinkage === null ? null : own.loadShrinkage ** 2],
    ...placed.map(({ kind, variance }) => [kind, squared * variance] as const),
    ['parts', squared * Math.max(0, scatter.relative[axis] - explained)],
  ]
  const all = variances.reduce((sum, [, variance]) => sum + (variance ?? 0), 0)
  if (!(all > 0)) return []
  return variances.flatMap(([source, variance]) =>
    variance === null ? [] : [{ source, share: variance / all }],
  )
}

export function varianceWords(axis: Axis, sources: readonly VarianceSource[]): string {
  const parts = sources.map(({ source, share }) => `${source} ${formatNumber(100 * share, 0)} %`)
  return `All at once, the variance of shrinkage along ${axis} comes from: ${parts.join(', ')}. A drift that the builds of one furnace load share counts with the loads.`
}
