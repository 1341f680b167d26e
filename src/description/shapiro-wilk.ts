import { normalQuantile, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { polynomial } from '../numbers/polynomial.ts'
import { momentsOf } from './moments.ts'

// Royston's fitted polynomials, highest power first: corrections of the two outermost weights, in 1/√n; then how a
// transform of 1 − W is distributed, for up to 11 values in n and for more in ln n.
const OUTERMOST = Float64Array.of(-2.706056, 4.434685, -2.07119, -0.147981, 0.221157, 0)
const SECOND = Float64Array.of(-3.582633, 5.682633, -1.752461, -0.293762, 0.042981, 0)
const FEW_BOUND = Float64Array.of(0.459, -2.273)
const FEW_MEAN = Float64Array.of(-6.714e-4, 0.025054, -0.39978, 0.544)
const FEW_LOG_SD = Float64Array.of(-0.0020322, 0.062767, -0.77857, 1.3822)
const MANY_MEAN = Float64Array.of(0.0038915, -0.083751, -0.31082, -1.5861)
const MANY_LOG_SD = Float64Array.of(0.0030302, -0.082676, -0.4803)

/** Shapiro–Wilk test that values come from a normal distribution of unknown mean and standard deviation. */
export interface ShapiroWilk {
  /** W, at most 1. */
  readonly statistic: number
  /** Probability of a W as small from a normal distribution. */
  readonly p: number
}

/**
 * Source: P. Royston, Remark AS R94: a remark on algorithm AS 181, the W test for normality, Applied Statistics 44
 * (1995), 547–551.
 *
 * @param values n finite numbers, n from 3 to 5000, not all the same
 * @throws ArgumentError where the number of values is out of range, one is not finite, or all are the same
 */
export function shapiroWilk(values: ArrayLike<number>): ShapiroWilk {
  const n = values.length
  if (n < 3 || n > 5000) throw new ArgumentError('values', `${n} values; the test takes 3 to 5000`)
  const { m2, min, max } = momentsOf(values)
  if (min === max) throw new ArgumentError('values', 'all values are the same')
  const sorted = Float64Array.from(values).sort()
  const a = coefficients(n)
  let product = 0
  let squares = 0
  for (const [i, weight] of a.entries()) {
    product += weight * ((sorted[n - 1 - i] as number) - (sorted[i] as number))
    squares += 2 * weight * weight
  }
  // 1 − W without the cancellation that W near 1 brings.
  const root = Math.sqrt(squares * m2)
  const complement = Math.max(0, ((root - product) * (root + product)) / (squares * m2))
  return { statistic: 1 - complement, p: lowerTail(complement, n) }
}

/** Weights of the differences between opposite order statistics, outermost first; ⌊n/2⌋ of them. */
function coefficients(n: number): Float64Array {
  const half = Math.floor(n / 2)
  if (n === 3) return Float64Array.of(Math.SQRT1_2)
  const m = Float64Array.from({ length: half }, (_, i) => -normalQuantile((i + 1 - 0.375) / (n + 0.25)))
  const square = 2 * m.reduce((sum, value) => sum + value * value, 0)
  const u = 1 / Math.sqrt(n)
  const m1 = m[0] as number
  const m2 = m[1] as number
  const a1 = m1 / Math.sqrt(square) + polynomial(OUTERMOST, u)
  if (n <= 5) {
    const scale = Math.sqrt((square - 2 * m1 * m1) / (1 - 2 * a1 * a1))
    return m.map((value, i) => (i === 0 ? a1 : value / scale))
  }
  const a2 = m2 / Math.sqrt(square) + polynomial(SECOND, u)
  const scale = Math.sqrt((square - 2 * m1 * m1 - 2 * m2 * m2) / (1 - 2 * a1 * a1 - 2 * a2 * a2))
  return m.map((value, i) => (i === 0 ? a1 : i === 1 ? a2 : value / scale))
}

function lowerTail(complement: number, n: number): number {
  if (complement === 0) return 1
  if (n === 3) {
    // Exact: W of three values cannot be below 3/4.
    const angle = Math.asin(Math.sqrt(1 - complement)) - Math.asin(Math.sqrt(0.75))
    return Math.min(1, Math.max(0, (6 / Math.PI) * angle))
  }
  const logComplement = Math.log(complement)
  if (n <= 11) {
    const bound = polynomial(FEW_BOUND, n)
    if (logComplement >= bound) return 0
    const mean = polynomial(FEW_MEAN, n)
    const sd = Math.exp(polynomial(FEW_LOG_SD, n))
    return normalUpper((-Math.log(bound - logComplement) - mean) / sd)
  }
  const logN = Math.log(n)
  const mean = polynomial(MANY_MEAN, logN)
  const sd = Math.exp(polynomial(MANY_LOG_SD, logN))
  return normalUpper((logComplement - mean) / sd)
}
