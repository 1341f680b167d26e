import { ArgumentError } from '../errors.ts'

/**
 * Count, mean, sum of squared deviations from the mean, and range of a set of values.
 * The unit of `mean`, `min` and `max` is that of the values, of `m2` its square.
 */
export interface Moments {
  readonly n: number
  readonly mean: number
  /** Sum of squared deviations from the mean: (n − 1) times the sample variance. */
  readonly m2: number
  readonly min: number
  readonly max: number
}

/**
 * Moments of the values, in one pass over the data with a shift by the first value.
 *
 * The corrected two-pass sum (mean first, then deviations with the residual mean taken off) keeps every
 * digit the data can give; see T. F. Chan, G. H. Golub and R. J. LeVeque, The American Statistician 37
 * (1983), 242–247.
 *
 * @param values n finite numbers, n at least 1, in any unit
 * @returns n, mean, least and greatest in the unit of the values, and the sum of squared deviations in its square
 * @throws ArgumentError where `values` is empty or holds a value that is not finite
 */
export function momentsOf(values: ArrayLike<number>): Moments {
  const n = values.length
  if (n === 0) throw new ArgumentError('values', 'no values')
  const origin = values[0] as number
  let sum = 0
  let min = Number.POSITIVE_INFINITY
  let max = Number.NEGATIVE_INFINITY
  for (let i = 0; i < n; i++) {
    const value = values[i] as number
    if (!Number.isFinite(value)) throw new ArgumentError('values', `value ${i + 1} of ${n} is not finite`)
    sum += value - origin
    if (value < min) min = value
    if (value > max) max = value
  }
  const mean = origin + sum / n
  let squares = 0
  let residual = 0
  for (let i = 0; i < n; i++) {
    const deviation = (values[i] as number) - mean
    squares += deviation * deviation
    residual += deviation
  }
  return { n, mean, m2: Math.max(0, squares - (residual * residual) / n), min, max }
}

/**
 * Moments of the union of two disjoint sets.
 *
 * Source: T. F. Chan, G. H. Golub and R. J. LeVeque, Updating formulae and a pairwise algorithm for computing
 * sample variances, Stanford STAN-CS-79-773 (1979).
 */
export function mergeMoments(a: Moments, b: Moments): Moments {
  const n = a.n + b.n
  const delta = b.mean - a.mean
  return {
    n,
    mean: a.mean + (delta * b.n) / n,
    m2: a.m2 + b.m2 + (delta * delta * a.n * b.n) / n,
    min: Math.min(a.min, b.min),
    max: Math.max(a.max, b.max),
  }
}

/** Sample variance with divisor n − 1, in squared units; null for a single value. */
export function variance(moments: Moments): number | null {
  return moments.n < 2 ? null : moments.m2 / (moments.n - 1)
}

/** Sample standard deviation with divisor n − 1, in the unit of the values; null for a single value. */
export function standardDeviation(moments: Moments): number | null {
  const v = variance(moments)
  return v === null ? null : Math.sqrt(v)
}

/**
 * Moments of a set without some of its values: `mergeMoments` solved for one of its sets. The range stays that of the
 * whole set, which it cannot exceed.
 *
 * @param part moments of values of the set; fewer than it has
 */
export function momentsWithout(whole: Moments, part: Moments): Moments {
  const n = whole.n - part.n
  if (n < 1) throw new ArgumentError('part', `${part.n} of ${whole.n} values leave none`)
  const mean = whole.mean + ((whole.mean - part.mean) * part.n) / n
  const delta = part.mean - mean
  const m2 = whole.m2 - part.m2 - (delta * delta * n * part.n) / whole.n
  return { n, mean, m2: Math.max(0, m2), min: whole.min, max: whole.max }
}
