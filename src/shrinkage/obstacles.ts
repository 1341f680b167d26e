import type { ChartModel, Signal } from '../charts/model.ts'
import type { Axis } from '../domain/characteristic.ts'
import { countOf, countWord, formatNumber } from '../words/format.ts'
import { signalWords } from '../words/signal.ts'
import type { Advice, AxisAdvice } from './advice.ts'

/** Something that stands between an axis and its correction. */
export interface Obstacle {
  readonly axis: Axis
  readonly words: string
}

/**
 * What stands in the way of correcting each axis, in words: signals that nobody has explained, too few builds, a factor
 * that is not known, and the most that one step may take.
 *
 * @param signals by axis, the chart and those of its signals that stand unexplained
 */
export function obstacles(
  advice: Advice,
  signals: ReadonlyMap<Axis, { readonly chart: ChartModel; readonly open: readonly Signal[] }>,
): Obstacle[] {
  return advice.axes.flatMap((axis) => {
    const words = obstacleWords(axis, advice, signals.get(axis.axis))
    return words === null ? [] : [{ axis: axis.axis, words }]
  })
}

function obstacleWords(
  axis: AxisAdvice,
  { settings }: Advice,
  signals: { readonly chart: ChartModel; readonly open: readonly Signal[] } | undefined,
): string | null {
  switch (axis.reason) {
    case 'unexplained-signal':
      return signals === undefined
        ? null
        : `Shrinkage along ${axis.axis}: ${signalList(signals.chart, signals.open)}. Find what changed and write it down as a finding; a correction before that may answer the wrong thing.`
    case 'too-few-builds':
      return `${axis.axis}: ${countOf(axis.builds, 'build')} measured, ${countWord(settings.leastBuilds)} asked for.`
    case 'no-factor':
      return `${axis.axis}: the factor that the next build would be printed with is not on record, or no print has it.`
    case 'beyond-deadband':
      return axis.stepLimited
        ? `${axis.axis}: one step takes ${formatNumber(settings.largestStep, 4)} at most; the rest waits until the next builds have shown what this one did.`
        : null
    default:
      return null
  }
}

/** Signals that overlap on one side are one thing seen by several tests, named by the test that saw the most of it. */
function signalList(chart: ChartModel, open: readonly Signal[]): string {
  const things: { longest: Signal; from: number; to: number }[] = []
  for (const signal of open) {
    const from = signal.points[0] ?? 0
    const to = signal.points.at(-1) ?? from
    const known = things.find(
      (thing) =>
        thing.longest.panel === signal.panel &&
        thing.longest.side === signal.side &&
        thing.from <= to &&
        from <= thing.to,
    )
    if (known === undefined) {
      things.push({ longest: signal, from, to })
      continue
    }
    if (signal.points.length > known.longest.points.length) known.longest = signal
    known.from = Math.min(known.from, from)
    known.to = Math.max(known.to, to)
  }
  const name = (i: number) => chart.subgroups[i]?.label ?? ''
  return things
    .map(({ longest, from, to }) => {
      const span = from === to ? `build ${name(from)}` : `builds ${name(from)} to ${name(to)}`
      return `${signalWords(longest)} (${span})`
    })
    .join('; ')
}
