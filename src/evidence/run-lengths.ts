import { WESTERN_ELECTRIC } from '../charts/tests.ts'
import { cusumRunLength } from '../run-length/cusum-run-length.ts'
import { ewmaMultiplier } from '../run-length/ewma-run-length.ts'
import { runLengthOfTests } from '../run-length/tests-run-length.ts'
import { type Check, check, limited } from './check.ts'

const CHAMP_WOODALL = 'C. W. Champ and W. H. Woodall, Technometrics 29 (1987), 393–399, table 1 (from memory)'
const LUCAS_SACCUCCI = 'J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990), 1–12 (from memory)'
const LUCAS_CROSIER =
  'J. M. Lucas and R. B. Crosier, Technometrics 24 (1982), 199–205, as in textbooks of statistical quality control (from memory)'

/** Sets of the four tests, numbered 1 to 4 as in the paper: beyond three sigma, 2 of 3, 4 of 5, 8 in a row. */
const IN_CONTROL: readonly (readonly [string, string])[] = [
  ['1', '370.40'],
  ['12', '225.44'],
  ['13', '166.05'],
  ['14', '152.73'],
  ['123', '132.89'],
  ['124', '122.05'],
  ['134', '105.78'],
  ['1234', '91.75'],
]

/** All four tests, by shift in standard errors. */
const SHIFTED: readonly (readonly [number, string])[] = [
  [0.2, '66.80'],
  [0.4, '36.61'],
  [0.8, '13.25'],
  [1, '9.22'],
  [1.2, '6.89'],
  [1.4, '5.42'],
  [1.6, '4.41'],
  [1.8, '3.68'],
  [2, '3.13'],
  [2.4, '2.35'],
  [3, '1.67'],
]

const MULTIPLIERS: readonly (readonly [number, string])[] = [
  [0.4, '3.054'],
  [0.25, '2.998'],
  [0.2, '2.962'],
  [0.1, '2.814'],
  [0.05, '2.615'],
]

/** Decision interval, shift, run length; reference value 0.5. */
const CUSUM: readonly (readonly [number, number, string])[] = [
  [4, 0, '168'],
  [4, 0.25, '74.2'],
  [4, 0.5, '26.6'],
  [4, 1, '8.38'],
  [4, 2, '3.34'],
  [5, 0, '465'],
  [5, 0.25, '139'],
  [5, 0.5, '38.0'],
  [5, 1, '10.4'],
  [5, 2, '4.01'],
]

export const RUN_LENGTHS: readonly Check[] = [
  ...IN_CONTROL.map(([set, published]) =>
    check(
      'Run length of the tests',
      `in control, tests ${[...set].join(', ')}`,
      CHAMP_WOODALL,
      published,
      () =>
        runLengthOfTests(
          WESTERN_ELECTRIC.filter((_, t) => set.includes(String(t + 1))),
          0,
        ),
    ),
  ),
  ...SHIFTED.map(([shift, published]) =>
    check('Run length of the tests', `shift ${shift}, all four`, CHAMP_WOODALL, published, () =>
      runLengthOfTests(WESTERN_ELECTRIC, shift),
    ),
  ),
  limited(
    check('Run length of the tests', 'shift 0.6, all four', CHAMP_WOODALL, '20.90', () =>
      runLengthOfTests(WESTERN_ELECTRIC, 0.6),
    ),
    3,
    'the figure is 20.905, less than a unit of the last printed digit off',
  ),
  ...MULTIPLIERS.map(([lambda, published]) =>
    check(
      'Run length of EWMA',
      `multiplier for 500 in control, λ = ${lambda}`,
      LUCAS_SACCUCCI,
      published,
      () => ewmaMultiplier(lambda, 500),
    ),
  ),
  ...CUSUM.map(([interval, shift, published]) =>
    check('Run length of CUSUM', `k = 0.5, h = ${interval}, shift ${shift}`, LUCAS_CROSIER, published, () =>
      cusumRunLength(0.5, interval, shift),
    ),
  ),
]
