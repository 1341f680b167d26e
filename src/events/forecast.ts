import { crossing } from '../change/crossing.ts'
import { drift } from '../change/drift.ts'
import type { ChartModel } from '../charts/model.ts'
import type { BuildConditions } from './build-conditions.ts'
import { conditionTracks, shareOf } from './condition-track.ts'
import type { EventMember, ProcessEvent } from './event.ts'

/** What a drift is watched for. */
export type Target =
  /** The mean of a build reaches a limit of specification. */
  | { readonly reach: 'limit' }
  /** Ppk of single values falls to so much. */
  | { readonly reach: 'ppk'; readonly index: number }

/** When a drift that goes on as it did meets its target. Positions of builds beyond the record go on counting. */
export interface Forecast {
  readonly side: 'lower' | 'upper'
  /** Level of the build means at which the target is met, in the characteristic's unit. */
  readonly level: number
  /** Change of level a build, in the unit, with its 95 % interval; null limits where there are too few builds. */
  readonly slope: { readonly value: number; readonly lower: number | null; readonly upper: number | null }
  /** Position at which the line meets the level; null where it is past it, or never does. */
  readonly at: number | null
  /** Earliest and latest position that the confidence of the drift allows; null where none is, or no end is. */
  readonly earliest: number | null
  readonly latest: number | null
  /** The last build already lies beyond the level, by the line. */
  readonly reached: boolean
}

export interface NoForecast {
  readonly reason:
    | 'no drift'
    | 'no limit on that side'
    | 'too few builds'
    | 'unknown scatter'
    | 'not to be reached'
}

/** Slopes are formed of all pairs; the latest builds are what counts. */
const MOST_BUILDS = 300
const LEAST_BUILDS = 5
const CONFIDENCE = 0.95

/**
 * When the drift of one member of an event meets a limit, or a wanted Ppk, should it go on as it did: the straight line
 * of Theil and Sen through the build means since the drift began, only builds of the value that it is confined to, and
 * Fieller's interval of its crossing (`drift`, `crossing`). Ppk is met where the mean is 3 · Ppk sigmas from the limit,
 * sigma being that of single values inside and between builds in the chart's latest phase.
 *
 * @param event a drift that stands
 * @param chart the member's chart
 * @returns a reason where there is nothing to forecast
 */
export function forecast(
  event: ProcessEvent,
  member: EventMember,
  chart: ChartModel,
  builds: readonly BuildConditions[],
  target: Target,
): Forecast | NoForecast {
  if (event.kind !== 'drift' || !event.standing || member.shift === null) return { reason: 'no drift' }
  const { characteristic } = member
  const side = member.shift.value < 0 ? 'lower' : 'upper'
  const limit = characteristic[side]
  if (limit === null) return { reason: 'no limit on that side' }
  const margin = marginOf(chart, target)
  if (margin === null) return { reason: 'unknown scatter' }
  const level = side === 'lower' ? limit + margin : limit - margin
  const { x, y } = driftingMeans(event, chart, builds)
  if (x.length < LEAST_BUILDS) return { reason: 'too few builds' }
  const line = drift(x, y, CONFIDENCE)
  const sign = side === 'lower' ? -1 : 1
  if (!(line.slope * sign > 0)) return { reason: 'not to be reached' }
  const now = line.level + line.slope * (line.lastX - line.centre)
  const met = crossing(line, level)
  return {
    side,
    level,
    slope: { value: line.slope, lower: line.slopeLower, upper: line.slopeUpper },
    ...met,
    reached: (now - level) * sign >= 0,
  }
}

/** Whether there is a forecast. */
export function isForecast(result: Forecast | NoForecast): result is Forecast {
  return !('reason' in result)
}

function marginOf(chart: ChartModel, target: Target): number | null {
  if (target.reach === 'limit') return 0
  const phase = chart.phases[chart.phases.length - 1]
  if (phase === undefined || phase.sigmaWithin === null) return null
  return 3 * target.index * Math.hypot(phase.sigmaWithin, phase.sigmaBetween ?? 0)
}

function driftingMeans(
  { from, to, confinedTo }: ProcessEvent,
  chart: ChartModel,
  builds: readonly BuildConditions[],
): { x: number[]; y: number[] } {
  const track = conditionTracks(builds).find(({ condition }) => condition === confinedTo?.condition)
  const share = track === undefined || confinedTo === null ? null : shareOf(track, confinedTo.value)
  const place = new Map(builds.map(({ build }, i) => [build.id, i]))
  const x: number[] = []
  const y: number[] = []
  for (const { buildId, mean, leftOut } of chart.subgroups) {
    const at = place.get(buildId)
    if (at === undefined || leftOut || at < from || at > to) continue
    if (share !== null && (share[at] as number) <= 0.5) continue
    x.push(at)
    y.push(mean)
  }
  return { x: x.slice(-MOST_BUILDS), y: y.slice(-MOST_BUILDS) }
}
