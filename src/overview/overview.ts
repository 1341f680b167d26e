import type { IndexEstimate } from '../capability/index-estimate.ts'
import type { ChartForm, Signal } from '../charts/model.ts'
import type { Characteristic } from '../domain/characteristic.ts'

/** One characteristic on the timeline of builds. */
export interface OverviewRow {
  readonly characteristic: Characteristic
  readonly form: ChartForm
  readonly provisional: boolean
  /** Deviation of each build's mean from the centre line, in standard errors; parallel to the builds. */
  readonly deviations: readonly (number | null)[]
  /** Signals on all panels; `points` index the builds of the overview. */
  readonly signals: readonly Signal[]
  /** Number of the finding that answers each of them, parallel to `signals`; null where nobody has. */
  readonly answers: readonly (number | null)[]
  /** Positions of builds that are left out, as a whole or in single values. */
  readonly leftOut: readonly number[]
  /** The signal to look at first, unanswered ones before others, in words; null where the characteristic is steady. */
  readonly worst: {
    readonly signal: Signal
    readonly words: string
    readonly build: string
    readonly answer: number | null
  } | null
  /** From 0 (no signal unanswered) upwards: what the list is ordered by when worst comes first. */
  readonly urgency: number
  readonly ppk: IndexEstimate | null
  /** Mean minus and plus three overall sigmas, and the mean, as fractions of the tolerance zone (0 = lower
   *  limit, 1 = upper); null without two limits. */
  readonly spread: { readonly from: number; readonly mean: number; readonly to: number } | null
}

/** All characteristics of a part number over the same builds. */
export interface Overview {
  readonly rows: readonly OverviewRow[]
}
