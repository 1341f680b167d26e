import type { ChartModel, Signal } from '../charts/model.ts'
import { deviation } from './strength.ts'

/** A shift of location that the latest builds still show. Lengths in the characteristic's unit. */
export interface StandingShift {
  readonly signal: Signal
  /** Position of the first subgroup of the shift. */
  readonly from: number
  /** Mean since then minus the centre line. */
  readonly size: number
  /** Half width of its 95 % interval, from the standard errors of the plotted means and of the centre. */
  readonly halfWidth: number
}

/** A signal stands while one of the last this many subgroups belongs to it. */
const LATEST = 5

const Z95 = 1.959963984540054

/**
 * The shift of location that stands at the end of the record; of several the one that began first and still
 * runs. Null where the latest builds are as the baseline was.
 */
export function standingShift(chart: ChartModel): StandingShift | null {
  const { subgroups, location, phases } = chart
  const latest = subgroups.length - LATEST
  const standing = chart.signals.filter(
    (signal) => signal.panel === 'location' && (signal.points[signal.points.length - 1] as number) >= latest,
  )
  const phase = phases[phases.length - 1]
  if (phase === undefined) return null
  let best: StandingShift | null = null
  for (const signal of standing) {
    if (signal.points.length < 4) continue
    const from = signal.points[0] as number
    if (best !== null && best.from <= from) continue
    let sum = 0
    let variance = 0
    let count = 0
    for (let i = from; i < subgroups.length; i++) {
      if (deviation(location, i) === null) continue
      sum += (location.values[i] as number) - (location.centre[i] as number)
      variance += (location.sigma[i] as number) ** 2
      count++
    }
    if (count === 0) continue
    const baseline = phase.baselineTo - phase.from + 1
    const sigmaSquared = variance / count
    best = {
      signal,
      from,
      size: sum / count,
      halfWidth: Z95 * Math.sqrt(sigmaSquared / count + sigmaSquared / baseline),
    }
  }
  return best
}
