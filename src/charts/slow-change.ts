import { cusumInterval } from '../run-length/cusum-run-length.ts'
import { ewmaMultiplier } from '../run-length/ewma-run-length.ts'
import { cusumChart } from './cusum.ts'
import { ewmaChart } from './ewma.ts'
import type { ChartModel, Signal } from './model.ts'
import { ALL_TESTS, isPatternTest } from './tests.ts'

/** How a characteristic is watched for slow changes. */
export type SlowSettings =
  | {
      readonly by: 'average'
      /** Weight of the newest build, above 0 and at most 1. */
      readonly weight: number
      /** Builds on average until a false alarm. */
      readonly alarm: number
    }
  | {
      readonly by: 'sum'
      /** The shift to be found soonest, in standard errors of a point. */
      readonly shift: number
      readonly alarm: number
    }

/** Builds in a row over a limit, as indices of the chart's subgroups. */
export interface SlowSignal {
  readonly from: number
  readonly to: number
  readonly side: 'above' | 'below'
  /** The subgroup at which the tests in force had signalled on the same side; null where they have not. */
  readonly tests: number | null
}

/** All arrays run parallel to the chart's subgroups, in standard errors of a point; null where one is left out. */
export interface SlowChart {
  /** The running average, or the sum of what lies above the centre. */
  readonly above: readonly (number | null)[]
  /** The sum of what lies below, as a negative number; null for an average, which is one line. */
  readonly below: readonly (number | null)[] | null
  readonly upper: readonly (number | null)[]
  readonly lower: readonly (number | null)[]
  readonly signals: readonly SlowSignal[]
  /** Limits in standard errors of the average, or the decision interval in those of a point. */
  readonly multiplier: number
}

/**
 * The standardised means of a control chart as a running average (EWMA) or as running sums (CUSUM), begun anew with
 * each phase, with limits for the wanted distance between false alarms. That of an average is by its limits long after
 * the start; the exact ones, narrower in the first points, give the first false alarm up to 8 % earlier at a weight of
 * 0.05 and 1.5 % at 0.2 (simulated for a distance of 370).
 *
 * Sources: see `ewmaChart`, `cusumChart`, `ewmaMultiplier` and `cusumInterval`.
 *
 * @throws ArgumentError where a setting is out of range
 */
export function slowChart(chart: ChartModel, settings: SlowSettings): SlowChart {
  const { location, phases, subgroups } = chart
  const nothing = () => new Array<number | null>(subgroups.length).fill(null)
  const [above, below, upper, lower] = [nothing(), nothing(), nothing(), nothing()]
  const multiplier =
    settings.by === 'average'
      ? ewmaMultiplier(settings.weight, settings.alarm)
      : cusumInterval(settings.shift / 2, settings.alarm)
  for (const phase of phases) {
    const places: number[] = []
    const z: number[] = []
    for (let i = phase.from; i <= phase.to; i++) {
      const [value, centre, sigma] = [location.values[i], location.centre[i], location.sigma[i]]
      if (typeof value !== 'number' || typeof centre !== 'number' || typeof sigma !== 'number') continue
      places.push(i)
      z.push((value - centre) / sigma)
    }
    const errors = z.map(() => 1)
    if (settings.by === 'average') {
      const average = ewmaChart(z, errors, 0, { weight: settings.weight, multiplier })
      for (const [k, i] of places.entries()) {
        above[i] = average.values[k] as number
        upper[i] = average.upper[k] as number
        lower[i] = average.lower[k] as number
      }
    } else {
      const sums = cusumChart(z, errors, 0, {
        reference: settings.shift / 2,
        decision: multiplier,
        headStart: 0,
      })
      for (const [k, i] of places.entries()) {
        above[i] = sums.above[k] as number
        below[i] = -(sums.below[k] as number)
        upper[i] = multiplier
        lower[i] = -multiplier
      }
    }
  }
  const low = settings.by === 'sum' ? below : above
  const runs = [
    ...runsWhere(subgroups.length, (i) => isOver(above[i], upper[i])).map((run) => ({
      ...run,
      side: 'above' as const,
    })),
    ...runsWhere(subgroups.length, (i) => isOver(lower[i], low[i])).map((run) => ({
      ...run,
      side: 'below' as const,
    })),
  ].sort((a, b) => a.from - b.from)
  return {
    above,
    below: settings.by === 'sum' ? below : null,
    upper,
    lower,
    signals: runs.map((run) => ({ ...run, tests: testsAt(chart, run) })),
    multiplier,
  }
}

function isOver(value: number | null | undefined, limit: number | null | undefined): boolean {
  return typeof value === 'number' && typeof limit === 'number' && value > limit
}

function runsWhere(length: number, holds: (i: number) => boolean): { from: number; to: number }[] {
  const runs: { from: number; to: number }[] = []
  for (let i = 0; i < length; i++) {
    const last = runs.at(-1)
    if (!holds(i)) continue
    if (last !== undefined && last.to === i - 1) runs[runs.length - 1] = { from: last.from, to: i }
    else runs.push({ from: i, to: i })
  }
  return runs
}

/** Builds before a slow signal in which a signal of the tests still belongs to it. */
const BEFORE = 10

/** The first subgroup at which a test in force had signalled what a slow signal says. */
function testsAt(chart: ChartModel, run: { from: number; to: number; side: string }): number | null {
  const found = chart.signals
    .filter((signal) => signal.panel === 'location' && signal.side === run.side)
    .map(completedAt)
    .filter((at) => at >= run.from - BEFORE && at <= run.to)
  return found.length === 0 ? null : Math.min(...found)
}

/** The subgroup with which a signal was complete. */
function completedAt({ test, points }: Signal): number {
  const definition = ALL_TESTS.find(({ id }) => id === test)
  const needed =
    definition === undefined ? 1 : isPatternTest(definition) ? definition.length : definition.needed
  return points[Math.min(needed, points.length) - 1] as number
}
