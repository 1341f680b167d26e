import type { Stage } from '../domain/cell.ts'
import type { TestId } from './tests.ts'

/** A span of builds judged by one set of limits. Subgroups are named by build id. */
export interface Phase {
  /** The first build of the phase; null for the phase that the record begins with. */
  readonly fromBuild: number | null
  readonly reason: string
  /** How many of the phase's first subgroups the limits are computed from. */
  readonly baselineCount: number
}

/**
 * The one description of how a characteristic is charted. The same study and the same cells always give the
 * same chart model.
 */
export interface Study {
  readonly stage: Stage
  /** In the order of builds; never empty. */
  readonly phases: readonly Phase[]
  readonly tests: readonly TestId[]
  /** Level of the F test that decides whether builds differ, as a probability. */
  readonly betweenLevel: number
}

/** Twenty-five subgroups are enough for limits that are not provisional (DEVELOPERS.md, Numbers). */
export const BASELINE_SUBGROUPS = 25

/** How a characteristic is charted as long as nobody has decided otherwise. */
export const DEFAULT_STUDY: Study = {
  stage: 'sintered',
  phases: [{ fromBuild: null, reason: 'start of the record', baselineCount: BASELINE_SUBGROUPS }],
  tests: ['beyond-three-sigma', 'two-of-three', 'four-of-five', 'eight-on-one-side'],
  betweenLevel: 0.01,
}
