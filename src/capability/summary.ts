import type { Characteristic } from '../domain/characteristic.ts'
import type { IndexEstimate } from './index-estimate.ts'

/** Whether an index meets a requirement, with the confidence of its interval. */
export type Verdict = 'holds' | 'does not' | 'not yet sure'

/** What one characteristic can hold, over a span of builds. Lengths are in the characteristic's unit. */
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
  /** Standard deviation of all values, divisor n − 1; null for one value. */
  readonly sigmaOverall: number | null
  /** Capability: sigma of a process without shifts. Null without the limits or values that they need. */
  readonly cp: IndexEstimate | null
  readonly cpk: IndexEstimate | null
  /** Performance: sigma of all that happened. */
  readonly pp: IndexEstimate | null
  readonly ppk: IndexEstimate | null
  /** Values outside the limits, counted from cells' ranges where sure, null where raw values are needed. */
  readonly expectedOutside: number | null
  /** True while no signal stands on the location or spread chart over these builds. */
  readonly stable: boolean
  /** Build in which the first signal began; null where stable. */
  readonly movedAt: string | null
  /** Against `required`, judged on Ppk's interval; null without an index. */
  readonly verdict: Verdict | null
  /** Parts in all that would settle the verdict at the present estimate; null where settled or out of reach. */
  readonly partsToSettle: number | null
}
