import type { BuildConditions } from './build-conditions.ts'
import { componentAt } from './component.ts'
import { type ConditionTrack, conditionTracks, shareOf } from './condition-track.ts'
import type { ProcessEvent } from './event.ts'

/** How a share was computed, for the line that shows it. */
export type ShareMethod =
  /** Squares that the condition explains in the event's series, over those that the event's best shape explains. */
  | 'least-squares'
  /** Shift that the change of a scale factor makes by itself, nominal × Δfactor/factor, compared with what was seen. */
  | 'scale-prediction'
  /** Size of the event among builds of the value less that among the others, over the former. */
  | 'alternation'

/** A condition that may account for an event. */
export interface RankedCondition {
  readonly condition: string
  /** Value before the change; null where not recorded, or where the event is confined to `to`. */
  readonly from: string | null
  readonly to: string
  /** Position of the first build with the new value. */
  readonly at: number
  /** How much of the event it accounts for, from 0 to 1. */
  readonly share: number
  readonly method: ShareMethod
  /** Shift in percent of nominal that a scale factor predicts; null for other conditions. */
  readonly predictedPercent: number | null
}

/** A condition that accounts for less is not worth naming. */
const LEAST_SHARE = 0.2

/**
 * Conditions that changed where the event may have begun, those that account for most of it first; empty where nothing
 * recorded did. An event confined to one value of a condition (such as one furnace) is accounted for by that value.
 *
 * A condition's share is what least squares of the event's series (all other events taken off) on the condition
 * explain, over what the event's own shape explains: the indicator of the new value, or, for a quantity such as the
 * reuse count, the quantity. A condition that comes and goes while the shift stays thereby counts against itself.
 * For a scale factor the share is at most what its predicted effect leaves: 1 where the shift seen is the one
 * predicted, 0 where it is none of it. Shares of different conditions may overlap and add to more than 1; coincidence
 * in time is no proof.
 *
 * @param builds the timeline that the event was found on
 */
export function rankConditions(event: ProcessEvent, builds: readonly BuildConditions[]): RankedCondition[] {
  const tracks = conditionTracks(builds)
  const ranked: RankedCondition[] = []
  const confined = event.confinedTo === null ? null : confinedShare(event, tracks)
  if (confined !== null) ranked.push(confined)
  // A single value is a matter of measuring or typing; no condition of the build made it.
  const byValue = event.kind === 'single' && event.members.every(({ outlier }) => outlier !== null)
  if (event.confinedTo === null && !byValue) {
    for (const track of tracks) {
      const best = bestChange(event, track, builds)
      if (best !== null) ranked.push(best)
    }
  }
  return ranked.filter(({ share }) => share >= LEAST_SHARE).sort((a, b) => b.share - a.share)
}

/** The event's series on its own: squares explained by a column beside the level, and the column's coefficient. */
function explained(
  event: ProcessEvent,
  column: (position: number) => number,
): { squares: number; size: number } {
  const { start, values, weights } = event.trace
  let w = 0
  let sx = 0
  let sxx = 0
  let sr = 0
  let sxr = 0
  for (let i = 0; i < values.length; i++) {
    const weight = weights[i] as number
    if (weight === 0) continue
    const x = column(start + i)
    const r = values[i] as number
    w += weight
    sx += weight * x
    sxx += weight * x * x
    sr += weight * r
    sxr += weight * x * r
  }
  const information = sxx - (sx * sx) / w
  if (!(information > 1e-9 * sxx)) return { squares: 0, size: 0 }
  const product = sxr - (sx * sr) / w
  return { squares: (product * product) / information, size: product / information }
}

function shapeOf(event: ProcessEvent): (position: number) => number {
  const form = event.kind === 'drift' ? 'ramp' : 'flat'
  const component = { from: event.from, to: event.to, form, value: null } as const
  return (position) => componentAt(component, position)
}

/** The change of one condition inside the confidence set that accounts for most; null where it did not change there. */
function bestChange(
  event: ProcessEvent,
  track: ConditionTrack,
  builds: readonly BuildConditions[],
): RankedCondition | null {
  const shape = explained(event, shapeOf(event))
  if (shape.squares === 0) return null
  let best: RankedCondition | null = null
  for (const at of event.plausible) {
    const change = at === 0 ? null : changeAt(track, at)
    if (change === null) continue
    // A furnace load that no other build shared is another name for the build.
    if (track.condition === 'furnace load' && buildsIn(track, change.to) < 1.5) continue
    const column = columnOf(track, change.to)
    const own = explained(event, column)
    const helps = track.numbers !== null || own.size * shape.size > 0
    const fitted = helps ? Math.min(1, own.squares / shape.squares) : 0
    const predicted = predictedPercent(event, track, change, builds)
    const share = predicted === null ? fitted : Math.min(fitted, agreement(event, predicted))
    if (best !== null && best.share >= share) continue
    const method = track.scaleAxis === null ? 'least-squares' : 'scale-prediction'
    best = { condition: track.condition, ...change, at, share, method, predictedPercent: predicted }
  }
  return best
}

function changeAt(track: ConditionTrack, at: number): { from: string | null; to: string } | null {
  const to = track.labels[at] ?? null
  let before = at - 1
  while (before > 0 && (track.labels[before] ?? null) === null) before--
  const from = track.labels[before] ?? null
  return to === null || to === from ? null : { from, to }
}

/** Builds that had a value, those of several values counting by their share. */
function buildsIn(track: ConditionTrack, value: string): number {
  return shareOf(track, value).reduce((sum, share) => sum + share, 0)
}

function columnOf(track: ConditionTrack, label: string): (position: number) => number {
  const { numbers, labels } = track
  if (numbers !== null) {
    const recorded = numbers.filter((value) => value !== null)
    const mean = recorded.reduce((sum, value) => sum + value, 0) / recorded.length
    return (position) => (numbers[position] ?? mean) - mean
  }
  const share = shareOf(track, label)
  // A build of several values at once is the indicator of all of them together.
  if (share.every((value) => value === 0)) return (position) => (labels[position] === label ? 1 : 0)
  return (position) => share[position] as number
}

/**
 * What the change of a scale factor does to the event's members on average, in percent of nominal: all of it along its
 * axis, half where a size has no axis (a diameter takes the mean of X and Y), none along the others.
 */
function predictedPercent(
  event: ProcessEvent,
  { scaleAxis }: ConditionTrack,
  { from, to }: { from: string | null; to: string },
  builds: readonly BuildConditions[],
): number | null {
  if (scaleAxis === null || from === null || builds.length === 0) return null
  const percent = 100 * (Number(to) / Number(from) - 1)
  if (event.axis !== null) return event.axis === scaleAxis ? percent : 0
  const parts: number[] = event.members.map(({ characteristic: { axis } }) => {
    if (axis === null) return scaleAxis === 'Z' ? 0 : 0.5
    return axis === scaleAxis ? 1 : 0
  })
  return (percent * parts.reduce((sum, part) => sum + part, 0)) / parts.length
}

/** 1 where the shift seen is the one predicted, falling to 0 where they differ by as much as was seen. */
function agreement(event: ProcessEvent, predicted: number): number {
  const seen = seenPercent(event)
  if (seen === null || seen === 0 || predicted * seen <= 0) return 0
  return Math.max(0, 1 - Math.abs(seen - predicted) / Math.abs(seen))
}

function seenPercent({ percent, members }: ProcessEvent): number | null {
  if (percent !== null) return percent.value
  const seen = members.flatMap((member) => (member.percent === null ? [] : [member.percent.value]))
  return seen.length === 0 ? null : seen.reduce((sum, value) => sum + value, 0) / seen.length
}

function confinedShare(event: ProcessEvent, tracks: readonly ConditionTrack[]): RankedCondition | null {
  const track = tracks.find(({ condition }) => condition === event.confinedTo?.condition)
  if (track === undefined || event.confinedTo === null) return null
  const { condition, value } = event.confinedTo
  const share = shareOf(track, value)
  const shape = shapeOf(event)
  const inside = sizeAmong(event, shape, (position) => share[position] as number)
  const outside = sizeAmong(event, shape, (position) => 1 - (share[position] as number))
  const part = inside === 0 ? 0 : 1 - Math.max(0, outside / inside)
  return {
    condition,
    from: null,
    to: value,
    at: event.from,
    share: Math.max(0, Math.min(1, part)),
    method: 'alternation',
    predictedPercent: null,
  }
}

/** Size of the event's shape among the builds that mostly had a value, their own level fitted beside it. */
function sizeAmong(
  event: ProcessEvent,
  shape: (position: number) => number,
  share: (position: number) => number,
): number {
  const { start, weights } = event.trace
  const among = weights.map((weight, i) => (share(start + i) > 0.5 ? weight : 0))
  return explained({ ...event, trace: { ...event.trace, weights: among } }, shape).size
}
