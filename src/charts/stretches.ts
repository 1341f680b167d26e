import type { Signal } from './model.ts'
import type { TestId } from './tests.ts'

/**
 * Signals of one panel and side that overlap in time: one thing that several tests saw. A reader wants the shift
 * named once, not nine times.
 */
export interface Stretch {
  /** The signal to name it by: that of most points, those beyond the limits counting four times. */
  readonly lead: Signal
  /** All signals in it, the lead among them. */
  readonly signals: readonly Signal[]
  readonly first: number
  readonly last: number
}

/**
 * Groups signals into stretches, in the order of their first points.
 *
 * @param signals ordered by first point, as in a chart model
 */
export function stretchesOf(signals: readonly Signal[]): Stretch[] {
  const groups: Signal[][] = []
  for (const signal of signals) {
    const group = groups.find((candidate) => joins(candidate, signal))
    if (group === undefined) groups.push([signal])
    else group.push(signal)
  }
  return groups.map((group) => ({
    lead: leadOf(group),
    signals: group,
    first: firstOf(group[0] as Signal),
    last: Math.max(...group.map(lastOf)),
  }))
}

function joins(group: readonly Signal[], signal: Signal): boolean {
  const [head] = group
  if (head === undefined || head.panel !== signal.panel || head.side !== signal.side) return false
  return firstOf(signal) <= Math.max(...group.map(lastOf))
}

/** Weight of a point by the test that it belongs to, so that one beyond three sigma outweighs a few in a zone. */
const WEIGHT: Partial<Record<TestId, number>> = {
  'beyond-three-sigma': 4,
  'two-of-three': 1.5,
  'four-of-five': 0.9,
}

function leadOf(group: readonly Signal[]): Signal {
  const weight = (signal: Signal) => signal.points.length * (WEIGHT[signal.test] ?? 1)
  return group.reduce((lead, signal) => (weight(signal) > weight(lead) ? signal : lead))
}

function firstOf(signal: Signal): number {
  return signal.points[0] as number
}

function lastOf(signal: Signal): number {
  return signal.points[signal.points.length - 1] as number
}
