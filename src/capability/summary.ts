import type { Characteristic } from '../domain/characteristic.ts'
import type { FractionEstimate, OutsideBy } from './fraction-outside.ts'
import type { IndexEstimate } from './index-estimate.ts'
import type { AppliedRequirement } from './requirement.ts'
import type { Shape } from './shape.ts'

/** Whether an index meets a requirement, with the confidence of its interval. */
export type Verdict = 'holds' | 'does not' | 'not yet sure'

/** Parts that are judged in units of their own tolerance: how wide these were. */
export interface OwnTolerance {
  /** The narrowest and the widest, in the unit of `Characteristic.ownLimits`: the one limit, or the way between both. */
  readonly least: number
  readonly greatest: number
}

/**
 * What one characteristic can hold, over a span of builds. Lengths are in the characteristic's unit; where parts are
 * judged in units of their own tolerance, in those: 1 is a part exactly on its limit.
 */
export interface CapabilitySummary {
  readonly characteristic: Characteristic
  readonly n: number
  readonly builds: number
  readonly mean: number
  readonly min: number
  readonly max: number
  /** Pooled standard deviation inside builds over c4(ν + 1); null where no build has two values. */
  readonly sigmaWithin: number | null
  /** Standard deviation between builds; null where it cannot be told. */
  readonly sigmaBetween: number | null
  /**
   * That which Cp and Cpk take: inside builds or, where builds differ, over neighbouring builds; null where neither is
   * known.
   */
  readonly sigmaInControl: number | null
  /** Standard deviation of all values, divisor n − 1; null for one value. */
  readonly sigmaOverall: number | null
  /** Capability: sigma of a process without shifts. Null without the limits or values that they need. */
  readonly cp: IndexEstimate | null
  readonly cpk: IndexEstimate | null
  /** Performance: sigma of all that happened, or the quantiles of a distribution that is not normal. */
  readonly pp: IndexEstimate | null
  readonly ppk: IndexEstimate | null
  /** Null until it is known, and where no distribution fits. */
  readonly shape: Shape | null
  /** Shares of parts expected beyond the limits under the distribution. */
  readonly outside: OutsideBy<FractionEstimate>
  /** Share of the tolerance that 99.73 % of the parts take up; null where it cannot be told. */
  readonly toleranceUsed: FractionEstimate | null
  /** Null where all parts are judged by the limits of the drawing. */
  readonly ownTolerance: OwnTolerance | null
  /** True while no signal stands on the location or spread chart over these builds. */
  readonly stable: boolean
  /** Build in which the first signal began; null where stable. */
  readonly movedAt: string | null
  readonly requirement: AppliedRequirement
  /** The index that the requirement asks for; null where there is none. */
  readonly judged: IndexEstimate | null
  /** Against the requirement, judged on the interval; null without an index. */
  readonly verdict: Verdict | null
  /**
   * Parts and builds in all that would settle the verdict at the present estimate; null where settled or out of reach.
   */
  readonly toSettle: { readonly parts: number; readonly builds: number } | null
}
