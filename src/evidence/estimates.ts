import { nearerIndex, spreadIndex } from '../capability/indices.ts'
import { targetIndex } from '../capability/target-index.ts'
import { outlierTest } from '../description/outliers.ts'
import { howeFactor, oneSidedToleranceFactor } from '../tolerance/tolerance-factor.ts'
import { type Check, check } from './check.ts'

const HANDBOOK = 'NIST/SEMATECH e-Handbook of Statistical Methods'

const CAPABILITY_SOURCE = `${HANDBOOK}, 6.1.6: limits 8 and 20, mean 16, s 2, target 14 (from memory)`
const LIMITS = { lower: 8, upper: 20 }

const OUTLIER_SOURCE = `B. Rosner, Technometrics 25 (1983), 165–172; ${HANDBOOK}, 1.3.5.17.3 (from memory)`
const ROSNER = [
  -0.25, 0.68, 0.94, 1.15, 1.2, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.7,
  1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.1, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.4,
  2.47, 2.54, 2.62, 2.64, 2.9, 2.92, 2.92, 2.93, 3.21, 3.26, 3.3, 3.59, 3.68, 4.3, 4.64, 5.34, 5.42, 6.01,
]
const STATISTICS = '3.119 2.943 3.179 2.810 2.816 2.848 2.279 2.310 2.102 2.067'
const CRITICAL = '3.159 3.151 3.144 3.136 3.128 3.120 3.112 3.103 3.094 3.085'

function step(i: number) {
  return outlierTest(ROSNER, 10, 0.05).steps[i]
}

const TOLERANCE_SOURCE = `${HANDBOOK}, 7.2.6.3 (from memory)`
const OWEN = 'D. B. Owen, Factors for one-sided tolerance limits, Sandia SCR-607 (1963) (from memory)'
/** Sample size, content, confidence, factor. */
const ONE_SIDED: readonly (readonly [number, number, number, string])[] = [
  [10, 0.9, 0.95, '2.355'],
  [10, 0.95, 0.95, '2.911'],
  [10, 0.99, 0.95, '3.981'],
  [20, 0.95, 0.95, '2.396'],
  [30, 0.95, 0.95, '2.220'],
  [50, 0.95, 0.95, '2.065'],
]

export const ESTIMATES: readonly Check[] = [
  check('Capability', 'Cp', CAPABILITY_SOURCE, '1.0', () => spreadIndex(LIMITS, 2) ?? Number.NaN),
  check('Capability', 'Cpk', CAPABILITY_SOURCE, '0.6667', () => nearerIndex(LIMITS, 16, 2) ?? Number.NaN),
  check('Capability', 'Cpm', CAPABILITY_SOURCE, '0.7071', () => targetIndex(LIMITS, 14, 16, 2) ?? Number.NaN),
  ...STATISTICS.split(' ').map((published, i) =>
    check(
      'Outliers',
      `statistic of step ${i + 1}`,
      OUTLIER_SOURCE,
      published,
      () => step(i)?.statistic ?? Number.NaN,
    ),
  ),
  ...CRITICAL.split(' ').map((published, i) =>
    check(
      'Outliers',
      `critical value of step ${i + 1}`,
      OUTLIER_SOURCE,
      published,
      () => step(i)?.critical ?? Number.NaN,
    ),
  ),
  check(
    'Tolerance factors',
    'both sides, Howe: n = 43, 90 %, confidence 99 %',
    TOLERANCE_SOURCE,
    '2.217',
    () => howeFactor(43, 42, 0.9, 0.99),
  ),
  check('Tolerance factors', 'one side: n = 43, 90 %, confidence 99 %', TOLERANCE_SOURCE, '1.8740', () =>
    oneSidedToleranceFactor(43, 42, 0.9, 0.99),
  ),
  ...ONE_SIDED.map(([n, content, confidence, published]) =>
    check(
      'Tolerance factors',
      `one side: n = ${n}, ${100 * content} %, confidence ${100 * confidence} %`,
      OWEN,
      published,
      () => oneSidedToleranceFactor(n, n - 1, content, confidence),
    ),
  ),
]
