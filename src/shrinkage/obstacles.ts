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
        : `${axis.axis}: ${signalList(signals.chart, signals.open)}. Find what changed and write it down as a finding; a correction before that may answer the wrong thing.`
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

function signalList(chart: ChartModel, open: readonly Signal[]): string {
  return open
    .map((signal) => {
      const first = chart.subgroups[signal.points[0] ?? 0]?.label ?? ''
      const last = chart.subgroups[signal.points.at(-1) ?? 0]?.label ?? ''
      return `${signalWords(signal)} (${first === last ? `build ${first}` : `builds ${first} to ${last}`})`
    })
    .join('; ')
}
