import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { fUpperQuantile } from '../distributions/f.ts'
import { normalUpper, normalUpperQuantile } from '../distributions/normal.ts'
import { studentUpperQuantile } from '../distributions/student.ts'
import { studentisedRangeUpperQuantile } from '../distributions/studentised-range.ts'
import { type Check, check } from './check.ts'

const HANDBOOK = 'NIST/SEMATECH e-Handbook of Statistical Methods'
const NORMAL_SOURCE = `${HANDBOOK}, 1.3.6.7.1, and any table of the normal distribution (from memory)`
const STUDENT_SOURCE = `${HANDBOOK}, 1.3.6.7.2 (from memory)`
const CHI_SQUARE_SOURCE = `${HANDBOOK}, 1.3.6.7.4 (from memory)`
const F_SOURCE = `${HANDBOOK}, 1.3.6.7.3 (from memory)`
const RANGE_SOURCE =
  'E. S. Pearson and H. O. Hartley, Biometrika Tables for Statisticians I, table 29 (from memory)'

/** Upper tail, quantile. */
const NORMAL: readonly (readonly [number, string])[] = [
  [0.1, '1.282'],
  [0.05, '1.645'],
  [0.025, '1.960'],
  [0.01, '2.326'],
  [0.005, '2.576'],
  [0.001, '3.090'],
  [0.0005, '3.291'],
]

/** Value, area from 0 to it. */
const AREAS: readonly (readonly [number, string])[] = [
  [0.5, '0.19146'],
  [1, '0.34134'],
  [1.96, '0.47500'],
  [2, '0.47725'],
  [3, '0.49865'],
]

/** Degrees of freedom, upper tail, quantile. */
const STUDENT: readonly (readonly [number, number, string])[] = [
  [1, 0.05, '6.314'],
  [1, 0.025, '12.706'],
  [5, 0.05, '2.015'],
  [5, 0.025, '2.571'],
  [5, 0.01, '3.365'],
  [5, 0.005, '4.032'],
  [10, 0.05, '1.812'],
  [10, 0.025, '2.228'],
  [10, 0.01, '2.764'],
  [10, 0.005, '3.169'],
  [30, 0.05, '1.697'],
  [30, 0.025, '2.042'],
  [30, 0.005, '2.750'],
]

/** Degrees of freedom, tail, quantile. */
const CHI_SQUARE_UPPER: readonly (readonly [number, number, string])[] = [
  [1, 0.05, '3.841'],
  [2, 0.05, '5.991'],
  [5, 0.05, '11.070'],
  [10, 0.05, '18.307'],
  [10, 0.025, '20.483'],
  [10, 0.01, '23.209'],
  [20, 0.05, '31.410'],
  [30, 0.05, '43.773'],
  [100, 0.05, '124.342'],
]
const CHI_SQUARE_LOWER: readonly (readonly [number, number, string])[] = [
  [10, 0.05, '3.940'],
  [10, 0.025, '3.247'],
  [10, 0.01, '2.558'],
]

/** Degrees of freedom above and below, upper tail, quantile. */
const F: readonly (readonly [number, number, number, string])[] = [
  [1, 1, 0.05, '161.448'],
  [2, 2, 0.05, '19.000'],
  [3, 10, 0.05, '3.708'],
  [5, 20, 0.05, '2.711'],
  [10, 10, 0.05, '2.978'],
  [10, 30, 0.05, '2.165'],
  [3, 10, 0.01, '6.552'],
  [5, 20, 0.01, '4.103'],
  [10, 10, 0.01, '4.849'],
]

/** Values, degrees of freedom, upper tail, quantile. */
const RANGE: readonly (readonly [number, number, number, string])[] = [
  [3, 10, 0.05, '3.88'],
  [4, 20, 0.05, '3.96'],
  [5, 5, 0.05, '5.67'],
  [10, 30, 0.05, '4.82'],
  [3, 10, 0.01, '5.27'],
  [4, 20, 0.01, '5.02'],
  [5, 5, 0.01, '8.42'],
  [10, 30, 0.01, '5.76'],
]

export const QUANTILES: readonly Check[] = [
  ...NORMAL.map(([tail, published]) =>
    check('Normal distribution', `quantile, upper tail ${tail}`, NORMAL_SOURCE, published, () =>
      normalUpperQuantile(tail),
    ),
  ),
  ...AREAS.map(([z, published]) =>
    check('Normal distribution', `area from 0 to ${z}`, NORMAL_SOURCE, published, () => 0.5 - normalUpper(z)),
  ),
  ...STUDENT.map(([df, tail, published]) =>
    check('Student’s t', `ν = ${df}, upper tail ${tail}`, STUDENT_SOURCE, published, () =>
      studentUpperQuantile(tail, df),
    ),
  ),
  ...CHI_SQUARE_UPPER.map(([df, tail, published]) =>
    check('Chi-square', `ν = ${df}, upper tail ${tail}`, CHI_SQUARE_SOURCE, published, () =>
      chiSquareUpperQuantile(tail, df),
    ),
  ),
  ...CHI_SQUARE_LOWER.map(([df, tail, published]) =>
    check('Chi-square', `ν = ${df}, lower tail ${tail}`, CHI_SQUARE_SOURCE, published, () =>
      chiSquareQuantile(tail, df),
    ),
  ),
  ...F.map(([df1, df2, tail, published]) =>
    check('F', `${df1} and ${df2} degrees of freedom, upper tail ${tail}`, F_SOURCE, published, () =>
      fUpperQuantile(tail, df1, df2),
    ),
  ),
  ...RANGE.map(([k, df, tail, published]) =>
    check('Studentised range', `${k} values, ν = ${df}, upper tail ${tail}`, RANGE_SOURCE, published, () =>
      studentisedRangeUpperQuantile(tail, k, df),
    ),
  ),
]
