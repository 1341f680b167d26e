import type { ChartModel, Panel, Signal } from '../charts/model.ts'

/** The panel of a chart that a signal stands on. */
export function panelOf(chart: ChartModel, signal: Signal): Panel {
  const panel =
    signal.panel === 'location'
      ? chart.location
      : signal.panel === 'spread'
        ? chart.spread
        : chart.movingRange
  return panel ?? chart.location
}

/** Deviation of one point of a panel from its centre, in standard errors; null without value or limits. */
export function deviation(panel: Panel, i: number): number | null {
  const value = panel.values[i] ?? null
  const centre = panel.centre[i] ?? null
  const sigma = panel.sigma[i] ?? null
  return value === null || centre === null || sigma === null ? null : (value - centre) / sigma
}

/**
 * How strong a signal is, on one scale for all tests: the sum of its points' deviations in sigmas over the root
 * of their number, which in control is a standard normal deviate. One point at 5 sigma counts as much as
 * nineteen at 1.15.
 */
export function signalStrength(chart: ChartModel, signal: Signal): number {
  const panel = panelOf(chart, signal)
  let sum = 0
  for (const i of signal.points) sum += deviation(panel, i) ?? 0
  return Math.abs(sum) / Math.sqrt(signal.points.length)
}

/** Subgroups after which a signal that has ended counts half as urgent. */
const HALF_LIFE = 10

/** Strength, halved for every ten builds that have passed since the signal's last point. */
export function signalUrgency(chart: ChartModel, signal: Signal): number {
  const last = signal.points[signal.points.length - 1] as number
  const age = chart.subgroups.length - 1 - last
  return signalStrength(chart, signal) * 0.5 ** (age / HALF_LIFE)
}
