import type { EffectiveSample } from './effective.ts'
import type { FractionEstimate, OutsideBy } from './fraction-outside.ts'
import type { Limits } from './indices.ts'
import { requireOrder } from './limits-order.ts'
import { normalOutside } from './normal-outside.ts'
import { type IndexPair, performance } from './performance.ts'
import { toleranceUsed } from './tolerance-used.ts'

/** What is supposed of a characteristic. */
export interface Supposition {
  /** The mean lies in the middle of the tolerance. */
  readonly centred: boolean
  /** Builds do not differ: only the scatter inside them is left. */
  readonly buildsAlike: boolean
  /** Other limits, in the unit of the values; null for those there are. */
  readonly limits: Limits | null
}

/** Figures under a supposition. */
export interface SupposedFigures extends IndexPair {
  readonly limits: Limits
  readonly mean: number
  readonly sigma: number
  readonly outside: OutsideBy<FractionEstimate>
  readonly toleranceUsed: FractionEstimate | null
}

/**
 * Pp, Ppk, the share outside and the tolerance used of a normal process as it would be. Its intervals carry how surely
 * mean and sigma are known today, not whether the change can be brought about.
 *
 * With the builds alike, sigma is that inside builds and every value counts as independent; the mean stays.
 *
 * @param limits those there are, in the unit of the values
 * @param sample today's mean and sigma, with the sizes that their uncertainty goes by
 * @param within sigma inside builds and its degrees of freedom; null where no build has two values
 * @param confidence as a fraction
 * @returns null where it cannot be supposed: no middle without two limits, no sigma inside builds
 * @throws ArgumentError where the limits are crossed
 */
export function whatIf(
  limits: Limits,
  sample: EffectiveSample,
  within: { readonly sigma: number; readonly df: number } | null,
  supposition: Supposition,
  confidence: number,
): SupposedFigures | null {
  const supposed = supposition.limits ?? limits
  requireOrder(supposed)
  const { lower, upper } = supposed
  if (supposition.centred && (lower === null || upper === null)) return null
  if (supposition.buildsAlike && within === null) return null
  const mean = supposition.centred ? ((lower as number) + (upper as number)) / 2 : sample.mean
  const scatter = supposition.buildsAlike && within !== null ? { ...within, nEffective: sample.n } : sample
  const { sigma, df, nEffective } = scatter
  const process: EffectiveSample = { n: sample.n, mean, sigma, df, nEffective }
  const indices = performance(supposed, process, confidence)
  return {
    ...indices,
    limits: supposed,
    mean,
    sigma,
    outside: normalOutside(supposed, process, confidence),
    toleranceUsed: toleranceUsed(indices),
  }
}
