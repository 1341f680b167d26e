import type { Signal } from '../charts/model.ts'
import { deviation, type JudgedPanel } from '../charts/panel-columns.ts'

/** A chart whose signals can be judged: its model, or its columns. */
export interface JudgedChart {
  readonly subgroups: { readonly length: number }
  readonly location: JudgedPanel
  readonly movingRange: JudgedPanel | null
  readonly spread: JudgedPanel | null
}

/** The panel of a chart that a signal stands on. */
function panelOf(chart: JudgedChart, signal: Signal): JudgedPanel {
  const panel =
    signal.panel === 'location'
      ? chart.location
      : signal.panel === 'spread'
        ? chart.spread
        : chart.movingRange
  return panel ?? chart.location
}

/**
 * How strong a signal is, on one scale for all tests: the sum of its points' deviations in sigmas over the root
 * of their number, which in control is a standard normal deviate. One point at 5 sigma counts as much as
 * nineteen at 1.15.
 */
function signalStrength(chart: JudgedChart, signal: Signal): number {
  const panel = panelOf(chart, signal)
  let sum = 0
  for (const i of signal.points) sum += deviation(panel, i) ?? 0
  return Math.abs(sum) / Math.sqrt(signal.points.length)
}

/** Subgroups after which a signal that has ended counts half as urgent. */
const HALF_LIFE = 10

/** Strength, halved for every ten builds that have passed since the signal's last point. */
export function signalUrgency(chart: JudgedChart, signal: Signal): number {
  const last = signal.points[signal.points.length - 1] as number
  const age = chart.subgroups.length - 1 - last
  return signalStrength(chart, signal) * 0.5 ** (age / HALF_LIFE)
}
