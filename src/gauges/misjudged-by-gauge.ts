import type { Limits } from '../capability/indices.ts'
import { type Misjudged, misjudged } from './misjudged.ts'

/** A process as its measured values show it. */
export interface SeenProcess {
  readonly mean: number
  /** Of measured values: parts and gauge together. */
  readonly sd: number
}

/**
 * What shares of parts a gauge misjudges, its spread and bias taken out of what was seen.
 *
 * Source: as `misjudged`.
 *
 * @param bias mean deviation from known values, not corrected for; null where not known, then none
 * @returns null without limits, without spread of the gauge, or where the gauge alone explains what was seen
 */
export function misjudgedByGauge(
  limits: Limits,
  { mean, sd }: SeenProcess,
  gaugeSd: number,
  bias: number | null,
): Misjudged | null {
  if ((limits.lower === null && limits.upper === null) || !(gaugeSd > 0) || !(sd > gaugeSd)) return null
  const off = bias ?? 0
  return misjudged(
    { mean: mean - off, partSd: Math.sqrt(sd ** 2 - gaugeSd ** 2), bias: off, gaugeSd },
    limits,
  )
}
