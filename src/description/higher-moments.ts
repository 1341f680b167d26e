import { type Moments, mergeMoments, momentsOf } from './moments.ts'

/** Moments to the fourth: sums of the third and fourth powers of deviations from the mean, in that power of the unit. */
export interface HigherMoments extends Moments {
  readonly m3: number
  readonly m4: number
}

/**
 * Moments to the fourth of n finite numbers, in two passes.
 *
 * @throws ArgumentError where `values` is empty or holds a value that is not finite
 */
export function higherMomentsOf(values: ArrayLike<number>): HigherMoments {
  const moments = momentsOf(values)
  let m3 = 0
  let m4 = 0
  for (let i = 0; i < moments.n; i++) {
    const deviation = (values[i] as number) - moments.mean
    const square = deviation * deviation
    m3 += square * deviation
    m4 += square * square
  }
  return { ...moments, m3, m4 }
}

/**
 * Moments to the fourth of the union of two disjoint sets.
 *
 * Source: P. Pébay, Formulas for robust, one-pass parallel computation of covariances and arbitrary-order
 * statistical moments, Sandia report SAND2008-6212 (2008), equations 1.5 and 1.6.
 */
export function mergeHigherMoments(a: HigherMoments, b: HigherMoments): HigherMoments {
  const n = a.n + b.n
  const delta = b.mean - a.mean
  const part = delta / n
  const cross = delta * part * a.n * b.n
  const m3 = a.m3 + b.m3 + cross * part * (a.n - b.n) + 3 * part * (a.n * b.m2 - b.n * a.m2)
  const m4 =
    a.m4 +
    b.m4 +
    cross * part * part * (a.n * a.n - a.n * b.n + b.n * b.n) +
    6 * part * part * (a.n * a.n * b.m2 + b.n * b.n * a.m2) +
    4 * part * (a.n * b.m3 - b.n * a.m3)
  return { ...mergeMoments(a, b), m3, m4 }
}

/**
 * Sample skewness G₁, unbiased for a normal distribution; 0 for one that is symmetric. Null for fewer than three
 * values or where all are the same.
 *
 * Source: D. N. Joanes and C. A. Gill, Comparing measures of sample skewness and kurtosis, The Statistician 47
 * (1998), 183–189.
 */
export function skewness({ n, m2, m3 }: HigherMoments): number | null {
  if (n < 3 || m2 === 0) return null
  return ((Math.sqrt(n * (n - 1)) / (n - 2)) * (m3 / n)) / (m2 / n) ** 1.5
}

/**
 * Sample excess kurtosis G₂, unbiased for a normal distribution and 0 there. Null for fewer than four values or where
 * all are the same. Source as for `skewness`.
 */
export function excessKurtosis({ n, m2, m4 }: HigherMoments): number | null {
  if (n < 4 || m2 === 0) return null
  return ((n - 1) / ((n - 2) * (n - 3))) * ((n + 1) * ((n * m4) / (m2 * m2) - 3) + 6)
}
