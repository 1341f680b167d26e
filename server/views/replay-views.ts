import type { Axis } from '../../src/domain/characteristic.ts'
import { type AdjustmentSettings, neededFactors } from '../../src/shrinkage/adjustment.ts'
import type { ShrinkageFit } from '../../src/shrinkage/fit.ts'
import { factorAt, perAxis, usableFactor } from '../../src/shrinkage/observations.ts'
import { type FactorHistory, type ReplayedRule, replay } from '../../src/shrinkage/replay.ts'
import { AXES, type PerAxis } from '../../src/shrinkage/terms.ts'
import type { ReplayedRuleView, ReplayView } from '../contract/shrinkage.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { ShrinkageOnRecord } from './shrinkage-fit.ts'

/** Builds already printed when a build's measurements arrive. */
const DELAY = 1

/** By axis; null where the record is too short for any rule to have acted. */
export function replayViews(
  { fit, builds }: ShrinkageOnRecord,
  settings: AdjustmentSettings,
): PerAxis<ReplayView | null> {
  const histories = AXES.flatMap((axis, a) => {
    const history = fit.overall[axis] === null ? null : historyOf(fit, axis, a, builds)
    return history === null ? [] : [{ axis, history }]
  })
  const results = replay(
    histories.map(({ history }) => history),
    settings,
    DELAY,
  )
  return perAxis((axis) => {
    const at = histories.findIndex((each) => each.axis === axis)
    const [result, history] = [results[at], histories[at]?.history]
    if (result === undefined || history === undefined || result.from >= history.positions.length) return null
    return {
      positions: Array.from(history.positions),
      from: result.from,
      delay: DELAY,
      asPrinted: ruleView(result.asPrinted),
      advised: ruleView(result.advised),
      everyBuild: ruleView(result.everyBuild),
    }
  })
}

function historyOf(
  fit: ShrinkageFit,
  axis: Axis,
  a: number,
  builds: readonly TimelineBuild[],
): FactorHistory | null {
  const { series, noise } = neededFactors(fit, axis)
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const played = series.buildIds.flatMap((id, i) => {
    const position = place.get(id) as number
    const printed = usableFactor(factorAt((builds[position] as TimelineBuild).scale, a))
    return printed === null
      ? []
      : [{ position, printed, needed: series.values[i] as number, noise: noise[i] as number }]
  })
  if (played.length === 0) return null
  return {
    positions: played.map(({ position }) => position),
    needed: played.map(({ needed }) => needed),
    noise: played.map((each) => each.noise),
    printed: played.map(({ printed }) => printed),
  }
}

function ruleView({ factors, deviations, meanSquare, changes }: ReplayedRule): ReplayedRuleView {
  return {
    factors: [...factors],
    deviations: Array.from(deviations, (deviation) => 100 * deviation),
    meanSquare: 1e4 * meanSquare,
    changes,
  }
}
