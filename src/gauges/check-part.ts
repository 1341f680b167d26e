import { buildChart } from '../charts/chart.ts'
import type { ChartModel } from '../charts/model.ts'
import { DEFAULT_STUDY, type Phase } from '../charts/study.ts'
import { momentsOf } from '../description/moments.ts'

/** The readings of one check part on one occasion. */
export interface CheckOccasion {
  /** What the point is called, such as the date. */
  readonly label: string
  /** At least one reading. */
  readonly values: readonly number[]
}

/**
 * Days that the limits of a check part come from: the first twenty, so that the days on which a gauge moves do not
 * draw the limits after it. Twenty to twenty-five are asked for (common practice).
 */
const CHECK_BASELINE = 20

/**
 * Whether a gauge stays where it was: the control chart of a check part that is measured again and again. Single
 * readings are charted as individuals with the moving range; repeated ones as any subgroups are (see `buildChart`).
 * In the model each occasion stands as a build whose id is its place in the list.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter III, section B, on stability (from memory).
 *
 * @param occasions in the order of time
 * @throws ArgumentError where an occasion has no reading or one that is not finite
 */
export function checkPartChart(occasions: readonly CheckOccasion[]): ChartModel {
  const cells = occasions.map(({ values }, buildId) => ({
    ...momentsOf(values),
    characteristicId: 0,
    buildId,
    furnaceLoadId: null,
    stage: DEFAULT_STUDY.stage,
  }))
  const [phase] = DEFAULT_STUDY.phases as readonly [Phase]
  const chart = buildChart(
    { ...DEFAULT_STUDY, phases: [{ ...phase, reason: 'first day', baselineCount: CHECK_BASELINE }] },
    cells,
    occasions.map(({ label }, id) => ({ id, name: label })),
  )
  const phases = chart.phases.map((each) => ({ ...each, provisional: each.baselineCount < CHECK_BASELINE }))
  return { ...chart, phases }
}

/**
 * The occasion from which the chart says that the gauge had moved, as it is called; null where it stayed. A point
 * beyond its limits says when; a run on the other side of a centre that it has drawn away would say too early.
 */
export function movedAt({ signals, subgroups }: ChartModel): string | null {
  const lead = signals.find(({ test }) => test === 'beyond-three-sigma') ?? signals[0]
  const first = lead?.points[0]
  return first === undefined ? null : (subgroups[first]?.label ?? null)
}
