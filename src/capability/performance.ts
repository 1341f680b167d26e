import { nearerIndexInterval, spreadIndexInterval } from './confidence.ts'
import type { EffectiveSample } from './effective.ts'
import type { IndexEstimate } from './index-estimate.ts'
import { type Limits, nearerIndex, spreadIndex } from './indices.ts'

/** The index of spread alone and that of spread and place; null without the limits that they need. */
export interface IndexPair {
  /** Cp or Pp. */
  readonly spread: IndexEstimate | null
  /** Cpk or Ppk. */
  readonly nearer: IndexEstimate | null
}

/**
 * Both indices with their intervals, by `spreadIndexInterval` and `nearerIndexInterval`.
 *
 * @param mean in the unit of the limits
 * @param estimate sigma above zero and its degrees of freedom
 * @param nEffective independent values that the mean is as sure as
 * @param confidence as a fraction
 * @throws ArgumentError where the limits are crossed or sigma is not above zero
 */
export function indexPair(
  limits: Limits,
  mean: number,
  estimate: { readonly sigma: number; readonly df: number },
  nEffective: number,
  confidence: number,
): IndexPair {
  const spread = spreadIndex(limits, estimate.sigma)
  const nearer = nearerIndex(limits, mean, estimate.sigma)
  return {
    spread: spread === null ? null : spreadIndexInterval(spread, estimate.df, confidence),
    nearer: nearer === null ? null : nearerIndexInterval(nearer, nEffective, estimate.df, confidence),
  }
}

/**
 * Pp and Ppk with their intervals: what happened, by the overall sigma.
 *
 * @param limits in the unit of the values
 * @param sample overall sigma with the sizes that its uncertainty and that of the mean go by (`effectiveSample`)
 * @param confidence as a fraction
 * @returns no index for what the limits do not define; see `spreadIndex` and `nearerIndex`
 * @throws ArgumentError where the limits are crossed or sigma is not above zero
 */
export function performance(limits: Limits, sample: EffectiveSample, confidence: number): IndexPair {
  return indexPair(limits, sample.mean, sample, sample.nEffective, confidence)
}
