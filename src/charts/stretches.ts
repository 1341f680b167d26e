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
  const groups: Group[] = []
  // Stretches of one panel and side follow one another, so that only the latest can be joined.
  const latest = new Map<string, Group>()
  for (const signal of signals) {
    const kind = `${signal.panel} ${signal.side}`
    const open = latest.get(kind)
    if (open !== undefined && firstOf(signal) <= open.last) {
      open.signals.push(signal)
      open.last = Math.max(open.last, lastOf(signal))
    } else {
      const group = { signals: [signal], last: lastOf(signal) }
      groups.push(group)
      latest.set(kind, group)
    }
  }
  return groups.map(({ signals: own, last }) => ({
    lead: leadOf(own),
    signals: own,
    first: firstOf(own[0] as Signal),
    last,
  }))
}

interface Group {
  readonly signals: Signal[]
  last: number
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
