import { studentUpperQuantile } from '../distributions/student.ts'

/** An estimate with its standard error and two-sided interval, in one unit. */
export interface Estimate {
  readonly value: number
  readonly standardError: number
  readonly lower: number
  readonly upper: number
  /** Degrees of freedom of the standard error. */
  readonly df: number
}

/** Beyond this Student's t is the normal distribution to the digits that anybody reads. */
const MOST_DF = 1e6

/** Makes estimates from a value and its variance. */
export type Estimator = (value: number, variance: number) => Estimate

export function estimator(df: number, confidence: number): Estimator {
  const bounded = Math.min(df, MOST_DF)
  const t = studentUpperQuantile((1 - confidence) / 2, bounded)
  return (value, variance) => {
    const standardError = Math.sqrt(variance)
    const half = t * standardError
    return { value, standardError, lower: value - half, upper: value + half, df: bounded }
  }
}
