import { normalLogUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { momentsOf, standardDeviation } from './moments.ts'

/** Anderson–Darling test that values come from a normal distribution of unknown mean and standard deviation. */
export interface AndersonDarling {
  /** A². */
  readonly statistic: number
  /** A² (1 + 0.75/n + 2.25/n²), which tables of percentage points refer to. */
  readonly modified: number
  /** Approximate probability of a statistic as large from a normal distribution; not resolved below 3.7e-24. */
  readonly p: number
}

/** Beyond this the fitted formula for p has left the range it was fitted on. */
const LARGEST_MODIFIED = 10

/**
 * Source: M. A. Stephens, Tests based on EDF statistics, in R. B. D'Agostino and M. A. Stephens (editors),
 * Goodness-of-Fit Techniques (1986), section 4.8 and tables 4.7 and 4.9, case 3.
 *
 * @param values n finite numbers, n at least 8, not all the same
 * @throws ArgumentError where there are too few values, one is not finite, or all are the same
 */
export function andersonDarling(values: ArrayLike<number>): AndersonDarling {
  const n = values.length
  if (n < 8) throw new ArgumentError('values', `${n} values; the test needs 8`)
  const moments = momentsOf(values)
  const sd = standardDeviation(moments)
  if (sd === null || moments.min === moments.max) throw new ArgumentError('values', 'all values are the same')
  const z = Float64Array.from(values, (value) => (value - moments.mean) / sd).sort()
  let sum = 0
  for (let i = 0; i < n; i++) {
    sum += (2 * i + 1) * (normalLogUpper(-(z[i] as number)) + normalLogUpper(z[n - 1 - i] as number))
  }
  const statistic = -n - sum / n
  const modified = statistic * (1 + 0.75 / n + 2.25 / (n * n))
  return { statistic, modified, p: upperTail(modified) }
}

/** Formulae of table 4.9, from memory; the tests hold them against the percentage points of table 4.7 and simulation. */
function upperTail(modified: number): number {
  const a = Math.min(modified, LARGEST_MODIFIED)
  if (a < 0.2) return 1 - Math.exp(-13.436 + 101.14 * a - 223.73 * a * a)
  if (a < 0.34) return 1 - Math.exp(-8.318 + 42.796 * a - 59.938 * a * a)
  if (a < 0.6) return Math.exp(0.9177 - 4.279 * a - 1.38 * a * a)
  return Math.exp(1.2937 - 5.709 * a + 0.0186 * a * a)
}
