import type { FrozenLimits } from './frozen-limits.ts'
import type { Side, TestId } from './tests.ts'

/** One plotted point: what it stands for and what was summed up in it. */
export interface Subgroup {
  readonly buildId: number
  readonly label: string
  readonly n: number
  readonly mean: number
  /** Within-subgroup standard deviation; null for a single value. */
  readonly sd: number | null
  readonly min: number
  readonly max: number
  /**
   * True where it is left out of limits and tests: as a whole, or because each of its values is. Its moments are then
   * those of the values left out, and it has no entry in the panels.
   */
  readonly leftOut: boolean
  /** Single values that are left out of it; they are not in its moments, unless all are. */
  readonly leftOutValues: readonly number[]
}

export type PanelId = 'location' | 'moving-range' | 'spread'

/** One control chart over the subgroups: all arrays run parallel to `ChartModel.subgroups`. */
export interface Panel {
  readonly id: PanelId
  /** The statistic plotted; null where a subgroup has none (the first moving range of a phase) or is left out. */
  readonly values: readonly (number | null)[]
  readonly centre: readonly (number | null)[]
  /** Three-sigma limits, stepped where sizes differ; null where a limit does not exist. */
  readonly lower: readonly (number | null)[]
  readonly upper: readonly (number | null)[]
  /** Standard error of the plotted statistic, the unit of the zones. */
  readonly sigma: readonly (number | null)[]
}

/** Whether builds differ by more than the scatter inside them explains: one-way analysis of variance. */
export interface BetweenTest {
  /** Null where nothing scatters inside builds, so that it is beyond all numbers. */
  readonly f: number | null
  readonly dfBetween: number
  readonly dfWithin: number
  /** Probability of an F as large when builds do not differ. */
  readonly p: number
  readonly differs: boolean
}

/** Limits of one phase and what they were computed from. Indices run over `ChartModel.subgroups`. */
export interface PhaseLimits {
  readonly from: number
  /** Index of the last subgroup of the phase, inclusive. */
  readonly to: number
  /** First and last subgroup that the limits were computed from, and how many of those between count. */
  readonly baselineFrom: number
  readonly baselineTo: number
  readonly baselineCount: number
  /** Values in those subgroups. */
  readonly baselineValues: number
  readonly reason: string
  /** Where the limits were computed earlier and kept: who did so, when and why. Null where they were computed now. */
  readonly frozen: FrozenLimits | null
  /** True where fewer than twenty-five subgroups stand behind the limits. */
  readonly provisional: boolean
  readonly centre: number
  /** Standard deviation inside subgroups, by the study's estimator; null where every subgroup has one value. */
  readonly sigmaWithin: number | null
  readonly dfWithin: number
  /** Standard deviation of the subgroups' means, from the steps between neighbours; null for a single subgroup. */
  readonly sigmaMeans: number | null
  /** Standard deviation between builds; 0 where none was found, null where it cannot be told. */
  readonly sigmaBetween: number | null
  /** Null where it cannot be computed: one subgroup, or single values only. */
  readonly betweenTest: BetweenTest | null
}

/** How location is charted: means against the scatter inside subgroups, or as individual values. */
export type ChartForm = 'mean-and-s' | 'three-way' | 'individuals'

/** One breach of one test on one panel. */
export interface Signal {
  readonly panel: PanelId
  readonly test: TestId
  readonly side: Side
  /** Indices of the subgroups that make it up, ascending; runs and windows that overlap are one signal. */
  readonly points: readonly number[]
}

export interface ChartModel {
  readonly form: ChartForm
  /** What the spread panel shows. */
  readonly spreadStatistic: 'standard deviation' | 'range'
  readonly subgroups: readonly Subgroup[]
  readonly phases: readonly PhaseLimits[]
  readonly location: Panel
  readonly movingRange: Panel | null
  readonly spread: Panel | null
  /** By first point, then panel. */
  readonly signals: readonly Signal[]
  /** Subgroups on average until a false alarm on the location panel; null where no test is in force. */
  readonly inControlRunLength: number | null
}
