import { cusumChart } from '../charts/cusum.ts'
import { centralMovingRange } from '../charts/estimates.ts'
import { ewmaChart } from '../charts/ewma.ts'
import { momentsOf } from '../description/moments.ts'
import { type Check, check, limited } from './check.ts'

const HANDBOOK = 'NIST/SEMATECH e-Handbook of Statistical Methods'

const EWMA_VALUES = [
  52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4,
  53.6, 52.1,
]
const EWMA_PRINTED =
  '50.60 49.52 50.56 50.18 50.16 49.21 49.75 49.85 50.26 50.33 50.11 49.36 49.52 50.05 49.38 49.92 50.73 51.23 51.94 51.99'

function ewma() {
  return ewmaChart(EWMA_VALUES, new Array<number>(20).fill(2.0539), 50, { weight: 0.3, multiplier: 3 })
}

const EWMA_SOURCE = `${HANDBOOK}, 6.3.2.4 (from memory)`

const CUSUM_VALUES = [
  324.93, 324.68, 324.73, 324.35, 325.35, 325.23, 324.13, 324.53, 325.23, 324.6, 324.63, 325.15, 328.33,
  327.25, 327.83, 328.5, 326.68, 327.78, 326.88, 328.35,
]
/** Sums by the number of the point. */
const CUSUM_ABOVE: readonly (readonly [number, string])[] = [
  [5, '0.03'],
  [13, '3.01'],
  [14, '4.94'],
  [15, '7.46'],
  [16, '10.64'],
  [17, '12.00'],
  [18, '14.46'],
  [19, '16.03'],
  [20, '19.06'],
]
const CUSUM_BELOW: readonly (readonly [number, string])[] = [
  [4, '0.33'],
  [7, '0.55'],
  [8, '0.71'],
  [9, '0.16'],
  [10, '0.24'],
  [11, '0.29'],
]

function cusum() {
  // The example's limits are in the unit of the data, as for a standard error of 1.
  return cusumChart(CUSUM_VALUES, new Array<number>(20).fill(1), 325, {
    reference: 0.3175,
    decision: 4.1959,
    headStart: 0,
  })
}

const CUSUM_SOURCE = `${HANDBOOK}, 6.3.2.3 (from memory)`

const FLOW_RATES = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
const INDIVIDUALS_SOURCE = `${HANDBOOK}, 6.3.2.2 (from memory)`

export const CHARTS: readonly Check[] = [
  check('Individuals chart', 'centre line', INDIVIDUALS_SOURCE, '50.81', () => momentsOf(FLOW_RATES).mean),
  check(
    'Individuals chart',
    'average moving range',
    INDIVIDUALS_SOURCE,
    '1.8778',
    () => centralMovingRange(FLOW_RATES, 'average') ?? Number.NaN,
  ),
  ...EWMA_PRINTED.split(' ').map((published, i) =>
    check(
      'EWMA chart',
      `average at point ${i + 1}`,
      EWMA_SOURCE,
      published,
      () => ewma().values[i] as number,
    ),
  ),
  check('EWMA chart', 'upper limit, settled', EWMA_SOURCE, '52.5884', () => ewma().upper[19] as number),
  limited(
    check('EWMA chart', 'lower limit, settled', EWMA_SOURCE, '47.4115', () => ewma().lower[19] as number),
    5,
    'printed cut off, not rounded: the figure is 47.41157',
  ),
  ...CUSUM_ABOVE.map(([point, published]) =>
    check(
      'CUSUM chart',
      `upper sum at point ${point}`,
      CUSUM_SOURCE,
      published,
      () => cusum().above[point - 1] as number,
    ),
  ),
  ...CUSUM_BELOW.map(([point, published]) =>
    check(
      'CUSUM chart',
      `lower sum at point ${point}`,
      CUSUM_SOURCE,
      published,
      () => cusum().below[point - 1] as number,
    ),
  ),
  check(
    'CUSUM chart',
    'number of the first point to signal',
    CUSUM_SOURCE,
    '14',
    () => (cusum().signals[0] ?? -1) + 1,
  ),
]
