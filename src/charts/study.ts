import type { Stage } from '../domain/cell.ts'
import type { Exclusion } from './exclusions.ts'
import type { FrozenLimits } from './frozen-limits.ts'
import type { RepeatChoice } from './repeats.ts'
import type { TestId } from './tests.ts'

/** Builds from one to another in the order of the timeline, both inclusive, by their ids. */
export interface BuildSpan {
  readonly from: number
  readonly to: number
}

/** A span of builds judged by one set of limits. Subgroups are named by build id. */
export interface Phase {
  /** The first build of the phase; null for the phase that the record begins with. */
  readonly fromBuild: number | null
  readonly reason: string
  /** How many of the phase's first subgroups the limits are computed from, where no baseline was chosen. */
  readonly baselineCount: number
  /**
   * The subgroups of the phase that limits are computed from, chosen by hand. Where none of them is left in the
   * computations, its first subgroups stand in.
   */
  readonly baseline?: BuildSpan | null
  /** Limits computed earlier that hold whatever the record adds; without them limits are computed each time. */
  readonly frozen?: FrozenLimits | null
}

/**
 * How sigma inside subgroups is estimated: pooled standard deviation over c4(ν + 1), average s over c4, or average
 * range over d2.
 */
export type WithinEstimator = 'pooled-s' | 'average-s' | 'average-range'

/** How the step from build to build is averaged; the median is not moved by a few single large steps. */
export type StepEstimator = 'average' | 'median'

/**
 * The one description of how a characteristic is charted. The same study and the same cells always give the
 * same chart model.
 */
export interface Study {
  readonly stage: Stage
  /** Never empty. They begin in the order of the timeline, whatever order they are listed in. */
  readonly phases: readonly Phase[]
  readonly tests: readonly TestId[]
  /** Level of the F test that decides whether builds differ, as a probability. */
  readonly betweenLevel: number
  /** With 'average-range' the spread is charted as ranges, otherwise as standard deviations. */
  readonly within: WithinEstimator
  readonly step: StepEstimator
  /** Which of several measurements of a part counts. Cells hold what counts already. */
  readonly repeats: RepeatChoice
  /** What is left out, in any order. */
  readonly exclusions: readonly Exclusion[]
}

/** Twenty-five subgroups are enough for limits that are not provisional (DEVELOPERS.md, Numbers). */
export const BASELINE_SUBGROUPS = 25

/** How a characteristic is charted as long as nobody has decided otherwise. */
export const DEFAULT_STUDY: Study = {
  stage: 'sintered',
  phases: [{ fromBuild: null, reason: 'start of the record', baselineCount: BASELINE_SUBGROUPS }],
  tests: ['beyond-three-sigma', 'two-of-three', 'four-of-five', 'eight-on-one-side'],
  betweenLevel: 0.01,
  within: 'pooled-s',
  step: 'average',
  repeats: 'every',
  exclusions: [],
}
