import { changePoint } from '../change/change-point.ts'
import type { PhaseLimits, Signal } from '../charts/model.ts'
import { deviation } from '../charts/panel-columns.ts'
import type { JudgedChart } from './strength.ts'

/** A shift of location that the latest builds still show. Lengths in the characteristic's unit. */
export interface StandingShift {
  /** The signal that says so: of those that reach the latest builds, the one with most points. */
  readonly signal: Signal
  /** Position of the first subgroup after the change, by maximum likelihood. */
  readonly from: number
  /** Earliest and latest position that it may have been, with 95 % confidence. */
  readonly between: readonly [number, number]
  /** Mean since the change less the mean before it. */
  readonly size: number
  /** Half the width of its 95 % interval. */
  readonly halfWidth: number
}

/** What tells of a standing shift: a chart's model, or its columns. */
export interface ShiftingChart extends Pick<JudgedChart, 'subgroups' | 'location'> {
  readonly phases: readonly Pick<PhaseLimits, 'from'>[]
  readonly signals: readonly Signal[]
}

/** A signal stands while one of the last this many subgroups belongs to it. */
const LATEST = 5

/** A level has moved where at least so many points say it; fewer are an event, not a level. */
const LEAST_POINTS = 4

const CONFIDENCE = 0.95

/**
 * The shift of location that stands at the end of the record. Null where the latest builds are as those before.
 *
 * Whether there is one is decided by the tests for signals; when it began and how large it is by the change point
 * of the phase, since a run may happen to begin before the change, or be seen only some builds after it.
 *
 * Source: as `changePoint`.
 *
 * @param chart one of location, with its limits and signals
 */
export function standingShift(chart: ShiftingChart): StandingShift | null {
  const { subgroups, location, phases } = chart
  const phase = phases[phases.length - 1]
  const signal = standingSignal(chart)
  if (phase === undefined || signal === null) return null

  const positions: number[] = []
  const z: number[] = []
  let sigma = 0
  for (let i = phase.from; i < subgroups.length; i++) {
    const d = deviation(location, i)
    if (d === null) continue
    positions.push(i)
    z.push(d)
    sigma += (location.sigma[i] as number) ** 2
  }
  sigma = Math.sqrt(sigma / positions.length)
  const change = positions.length < 4 ? null : changePoint(z, 1, CONFIDENCE)
  if (change === null || Math.sign(change.shift) !== (signal.side === 'above' ? 1 : -1)) return null
  const places = change.plausible
  return {
    signal,
    from: positions[change.index] as number,
    between: [
      positions[places[0] as number] as number,
      positions[places[places.length - 1] as number] as number,
    ],
    size: change.shift * sigma,
    halfWidth: ((change.shiftUpper - change.shiftLower) / 2) * sigma,
  }
}

function standingSignal(chart: ShiftingChart): Signal | null {
  const latest = chart.subgroups.length - LATEST
  let longest: Signal | null = null
  for (const signal of chart.signals) {
    if (signal.panel !== 'location' || signal.side === 'either') continue
    const count = signal.points.length
    if (count < LEAST_POINTS || (signal.points[count - 1] as number) < latest) continue
    if (longest === null || count > longest.points.length) longest = signal
  }
  return longest
}
