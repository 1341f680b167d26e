import type { ChartModel } from '../charts/model.ts'

/** A signal that begins where the gauge changed. */
export interface GaugeChange {
  /** Index of the signal. */
  readonly signal: number
  /** Gauges of the point before it begins, and of its first point. */
  readonly from: readonly string[]
  readonly to: readonly string[]
}

/**
 * For each signal the point that it begins at and the one before, past points that are left out; null at a phase's
 * start.
 */
export function signalBeginnings({ signals, subgroups, phases }: ChartModel): ([number, number] | null)[] {
  const starts = new Set(phases.map(({ from }) => from))
  return signals.map(({ points }) => {
    const first = points[0] as number
    if (starts.has(first)) return null
    let before = first - 1
    while (subgroups[before]?.leftOut) before--
    return before < 0 ? null : [before, first]
  })
}

/**
 * Signals whose first point was measured with a gauge that the point before it was not: the measuring may have moved, and
 * not the process.
 *
 * @param gaugesOf names of the gauges of a subgroup, by its index; empty where none is recorded
 */
export function gaugeChanges(
  chart: ChartModel,
  gaugesOf: (subgroup: number) => readonly string[],
): GaugeChange[] {
  return signalBeginnings(chart).flatMap((beginning, signal) => {
    if (beginning === null) return []
    const [from, to] = [gaugesOf(beginning[0]), gaugesOf(beginning[1])]
    if (from.length === 0 || to.every((gauge) => from.includes(gauge))) return []
    return [{ signal, from, to }]
  })
}

/** What follows from a change of gauge, as a sentence. */
export function gaugeChangeWords({ from, to }: Pick<GaugeChange, 'from' | 'to'>): string {
  return `It begins where the gauge changed from ${from.join(' and ')} to ${to.join(' and ')}: ${COMPARE}`
}

/** What to do before a change at a change of gauge is taken for one of the process. */
export const COMPARE = 'measure some of the same parts with both before the process is blamed.'
