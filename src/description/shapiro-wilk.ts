import { normalQuantile, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { momentsOf } from './moments.ts'

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
  const a1 = m1 / Math.sqrt(square) + polynomial([0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056], u)
  if (n <= 5) {
    const scale = Math.sqrt((square - 2 * m1 * m1) / (1 - 2 * a1 * a1))
    return m.map((value, i) => (i === 0 ? a1 : value / scale))
  }
  const a2 = m2 / Math.sqrt(square) + polynomial([0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633], u)
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
    const bound = polynomial([-2.273, 0.459], n)
    if (logComplement >= bound) return 0
    const mean = polynomial([0.544, -0.39978, 0.025054, -6.714e-4], n)
    const sd = Math.exp(polynomial([1.3822, -0.77857, 0.062767, -0.0020322], n))
    return normalUpper((-Math.log(bound - logComplement) - mean) / sd)
  }
  const logN = Math.log(n)
  const mean = polynomial([-1.5861, -0.31082, -0.083751, 0.0038915], logN)
  const sd = Math.exp(polynomial([-0.4803, -0.082676, 0.0030302], logN))
  return normalUpper((logComplement - mean) / sd)
}

/** Value at x of a polynomial given by its coefficients, constant first. */
function polynomial(coefficientsUp: readonly number[], x: number): number {
  return coefficientsUp.reduceRight((value, c) => value * x + c, 0)
}
