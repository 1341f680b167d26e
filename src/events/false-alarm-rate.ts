import type { ChartModel, PanelId, Signal } from '../charts/model.ts'
import { ALL_TESTS, type SignalTest, type TestId } from '../charts/tests.ts'
import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import { chiSquareLower, chiSquareUpper } from '../distributions/chi-square.ts'
import { normalUpper } from '../distributions/normal.ts'
import { runLengthOfAny } from '../run-length/any-run-length.ts'

/** How often signals are false alarms where nothing happens. */
export interface FalseAlarmRate {
  /** Signals of the same test and panel a build on one chart. */
  readonly perBuild: number
  /** The same expected by chance among all builds and charts looked at. */
  readonly ofItsKind: number
  /** Signals of any test on any panel expected by chance among all builds and charts looked at. */
  readonly ofAnyKind: number
}

/**
 * How often a signal would be a false alarm, from the tests in force: on location the reciprocal of the in-control
 * average run length of its test, on the moving range and the spread the chance that one point lies beyond its limits
 * (half-normal and chi-square). Expected counts are these times the plotted points of all charts looked at; the tests
 * of one panel together, by the charts' own in-control run length. They take limits as exactly known and builds as
 * independent and normal; limits from few builds alarm more often.
 *
 * @param tests tests in force, as in the study of the charts
 * @param charts all charts looked at, that of the signal among them
 */
export function falseAlarmRate(
  signal: Signal,
  tests: readonly TestId[],
  charts: readonly ChartModel[],
): FalseAlarmRate {
  const own = ALL_TESTS.find(({ id }) => id === signal.test) as SignalTest
  const rate = rateOf(own, signal.panel)
  const points = charts.map((chart) => pointsOf(chart, signal.panel))
  const inForce = ALL_TESTS.filter(({ id }) => tests.includes(id))
  return {
    perBuild: rate(typicalSize(charts)),
    ofItsKind: sumOver(points, rate),
    ofAnyKind: expectedOfAny(inForce, charts),
  }
}

/** Sizes of the plotted points of a panel. */
function pointsOf(chart: ChartModel, panel: PanelId): number[] {
  const values = panel === 'location' ? chart.location : panel === 'spread' ? chart.spread : chart.movingRange
  if (values === null) return []
  return chart.subgroups.flatMap(({ n }, i) => ((values.sigma[i] ?? null) === null ? [] : [n]))
}

function typicalSize(charts: readonly ChartModel[]): number {
  const sizes = charts.flatMap((chart) => chart.subgroups.map(({ n }) => n)).sort((a, b) => a - b)
  return Math.max(2, sizes[Math.floor(sizes.length / 2)] ?? 2)
}

function sumOver(points: readonly (readonly number[])[], rate: (n: number) => number): number {
  const known = new Map<number, number>()
  let sum = 0
  for (const sizes of points) {
    for (const n of sizes) {
      let one = known.get(n)
      if (one === undefined) {
        one = rate(n)
        known.set(n, one)
      }
      sum += one
    }
  }
  return sum
}

/** Chance of a false signal at a point of a subgroup of n. */
function rateOf(test: SignalTest, panel: PanelId): (n: number) => number {
  if (panel === 'moving-range') return () => MOVING_RANGE_BEYOND
  if (panel === 'spread') return spreadBeyond
  const rate = 1 / runLengthOfAny([test], 0)
  return () => rate
}

/** Chance that the range of two normal values exceeds its mean by three of its standard deviations. */
const MOVING_RANGE_BEYOND = 2 * normalUpper((d2(2) + 3 * d3(2)) / Math.SQRT2)

/** Chance that the standard deviation of n normal values lies beyond c4 ± 3 √(1 − c4²). */
function spreadBeyond(n: number): number {
  if (n < 2) return 0
  const centre = c4(n)
  const reach = 3 * Math.sqrt(1 - centre * centre)
  const above = chiSquareUpper((n - 1) * (centre + reach) ** 2, n - 1)
  return centre > reach ? above + chiSquareLower((n - 1) * (centre - reach) ** 2, n - 1) : above
}

function expectedOfAny(inForce: readonly SignalTest[], charts: readonly ChartModel[]): number {
  let sum = 0
  for (const panel of ['location', 'moving-range', 'spread'] as const) {
    const tests = inForce.filter(({ panels }) => panels.includes(panel))
    const [first] = tests
    if (first === undefined) continue
    const together = panel === 'location' ? 1 / runLengthOfAny(tests, 0) : null
    const rate = together === null ? rateOf(first, panel) : () => together
    sum += sumOver(
      charts.map((chart) => pointsOf(chart, panel)),
      rate,
    )
  }
  return sum
}
