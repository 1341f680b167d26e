import { momentsOf } from '../description/moments.ts'
import { studentUpper, studentUpperQuantile } from '../distributions/student.ts'

/** A mean, a coefficient or a value of a line, with its two-sided confidence interval. */
export interface Estimate {
  readonly value: number
  readonly lower: number
  readonly upper: number
  /** Probability of a value as far from 0 if the true one is 0. */
  readonly p: number
}

/** By Student's t, from a standard error above 0. */
export function studentEstimate(value: number, error: number, df: number, confidence: number): Estimate {
  const half = studentUpperQuantile((1 - confidence) / 2, df) * error
  return { value, lower: value - half, upper: value + half, p: 2 * studentUpper(Math.abs(value) / error, df) }
}

/**
 * The mean of differences by Student's t; null for a single one or where all are equal.
 *
 * @param rounding how far equal ones may come out apart
 */
export function meanEstimate(
  differences: readonly number[],
  rounding: number,
  confidence: number,
): Estimate | null {
  const { n, mean, m2, min, max } = momentsOf(differences)
  if (n < 2 || max - min <= rounding) return null
  return studentEstimate(mean, Math.sqrt(m2 / (n - 1) / n), n - 1, confidence)
}

/** Differences of equal decimals may come out this far apart. */
export function roundingOf(values: readonly number[]): number {
  return 8 * Number.EPSILON * Math.max(...values.map(Math.abs))
}

/** Least squares line of y on x. */
export interface StraightLine {
  readonly slope: number
  readonly slopeError: number
  readonly df: number
  /** Standard deviation about the line. */
  readonly residualSd: number
  readonly rSquared: number
  at(x: number): number
  /** Standard error of the line's value at x. */
  errorAt(x: number): number
}

/**
 * Source: N. R. Draper and H. Smith, Applied Regression Analysis (1998), sections 1.3 and 1.4.
 *
 * @param x n finite numbers, not all equal, n at least 3
 * @returns null where all points lie on one line but for rounding
 */
export function straightLine(x: readonly number[], y: readonly number[]): StraightLine | null {
  const n = x.length
  const mx = momentsOf(x)
  const my = momentsOf(y)
  const product = x.reduce((sum, xi, i) => sum + (xi - mx.mean) * ((y[i] as number) - my.mean), 0)
  const slope = product / mx.m2
  const at = (value: number) => my.mean + slope * (value - mx.mean)
  const squares = x.reduce((sum, xi, i) => sum + ((y[i] as number) - at(xi)) ** 2, 0)
  if (squares <= n * roundingOf([...x, ...y]) ** 2) return null
  const df = n - 2
  const residualSd = Math.sqrt(squares / df)
  return {
    slope,
    slopeError: residualSd / Math.sqrt(mx.m2),
    df,
    residualSd,
    rSquared: Math.max(0, 1 - squares / my.m2),
    at,
    errorAt: (value) => residualSd * Math.sqrt(1 / n + (value - mx.mean) ** 2 / mx.m2),
  }
}
