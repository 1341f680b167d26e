import type { ChartModel, Signal } from '../charts/model.ts'
import { ALL_TESTS, type SignalTest } from '../charts/tests.ts'
import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import { chiSquareLower, chiSquareUpper } from '../distributions/chi-square.ts'
import { normalUpper } from '../distributions/normal.ts'
import { normalRangeLower, normalRangeUpper } from '../distributions/normal-range.ts'
import { runLengthOfAny } from '../run-length/any-run-length.ts'

/**
 * How many signals of a test there are a build on one chart where nothing happens: on location the reciprocal of the
 * in-control average run length of the test, on the moving range and the spread the chance that one point lies beyond
 * its limits (half-normal; chi-square, or the distribution of the range of normal values). Limits are taken as exactly
 * known and builds as independent and normal; limits from few builds alarm more often.
 *
 * @param signal any signal of that test on that panel
 * @param size values in a subgroup, as in `typicalSize`
 * @param spread what the spread panel shows
 */
export function falseAlarmsPerBuild(
  { test, panel }: Pick<Signal, 'test' | 'panel'>,
  size: number,
  spread: ChartModel['spreadStatistic'] = 'standard deviation',
): number {
  if (panel === 'moving-range') return MOVING_RANGE_BEYOND
  if (panel === 'spread') return spread === 'range' ? rangeBeyond(size) : spreadBeyond(size)
  return 1 / runLengthOfAny([ALL_TESTS.find(({ id }) => id === test) as SignalTest], 0)
}

/** Median of the sizes of a chart's subgroups, two at least. */
export function typicalSize(subgroups: readonly { readonly n: number }[]): number {
  const sizes = Float64Array.from(subgroups, ({ n }) => n).sort()
  return Math.max(2, sizes[sizes.length >> 1] ?? 2)
}

/** Chance that the range of two normal values exceeds its mean by three of its standard deviations. */
const MOVING_RANGE_BEYOND = 2 * normalUpper((d2(2) + 3 * d3(2)) / Math.SQRT2)

/** Chance that the standard deviation of n normal values lies beyond c4 ± 3 √(1 − c4²). */
function spreadBeyond(n: number): number {
  const centre = c4(n)
  const reach = 3 * Math.sqrt(1 - centre * centre)
  const above = chiSquareUpper((n - 1) * (centre + reach) ** 2, n - 1)
  return centre > reach ? above + chiSquareLower((n - 1) * (centre - reach) ** 2, n - 1) : above
}

/** Chance that the range of n normal values lies beyond d2 ± 3 d3. */
function rangeBeyond(n: number): number {
  const [centre, reach] = [d2(n), 3 * d3(n)]
  const above = normalRangeUpper(centre + reach, n)
  return centre > reach ? above + normalRangeLower(centre - reach, n) : above
}
