import { fUpper, fUpperQuantile } from '../distributions/f.ts'
import { ArgumentError } from '../errors.ts'
import { cholesky, inverseForm } from '../numbers/cholesky.ts'

/** One build judged over all characteristics at once. */
export interface HotellingPoint {
  readonly t2: number
  /** Probability of a T² as large where nothing moved. */
  readonly p: number
  /**
   * Positions of the fewest characteristics that, once they are taken as moved, leave nothing unusual in the
   * others; empty where T² is within its limit. The one that explains most comes first.
   */
  readonly moved: readonly number[]
}

export interface HotellingChart {
  readonly points: readonly HotellingPoint[]
  /** Limit for builds of the baseline, which their own mean and covariance contain. */
  readonly baselineLimit: number
  /** Limit for builds after the baseline. */
  readonly laterLimit: number
}

/**
 * Hotelling's T² of each build over p characteristics, with mean and covariance from the baseline.
 *
 * Limits: (m − 1)²/m times a beta quantile for the m baseline builds, p (m + 1)(m − 1) / (m (m − p)) times an F
 * quantile for later ones. What moved is named by growing the set of characteristics that gives the largest T²
 * of its own until the rest, given the set, lies within its limit.
 *
 * Source: N. D. Tracy, J. C. Young and R. L. Mason, Journal of Quality Technology 24 (1992), 88–95 (limits);
 * B. J. Murphy, The Statistician 36 (1987), 571–581 (which characteristics moved).
 *
 * @param rows k builds of p values each, any units
 * @param baseline the first so many builds, at least p + 2
 * @param level probability of a false signal of one build
 * @throws ArgumentError where the baseline is too short, a row is of another length or holds a value that is not
 *   finite, or characteristics depend on one another exactly
 */
export function hotellingChart(
  rows: readonly ArrayLike<number>[],
  baseline: number,
  level: number,
): HotellingChart {
  const p = rows[0]?.length ?? 0
  check(rows, p, baseline, level)
  const base = rows.slice(0, baseline)
  const mean = columnMeans(base, p)
  const covariance = covarianceOf(base, mean)
  if (cholesky(covariance, p) === null) {
    throw new ArgumentError('rows', 'in the baseline one characteristic follows exactly from the others')
  }
  const m = baseline
  const f = fUpperQuantile(level, p, m - p - 1)
  const later = fUpperQuantile(level, p, m - p)
  // A beta quantile through F: B = p F / (p F + m − p − 1).
  const baselineLimit = ((m - 1) ** 2 / m) * ((p * f) / (p * f + m - p - 1))
  const laterLimit = laterFactor(m, p) * later
  const points = rows.map((row, i) => {
    const deviation = Float64Array.from(row, (value, j) => value - (mean[j] as number))
    const t2 = formOver(covariance, deviation, all(p)) as number
    const inBaseline = i < baseline
    const outside = t2 > (inBaseline ? baselineLimit : laterLimit)
    return {
      t2,
      p: inBaseline ? baselineTail(t2, m, p) : fUpper(t2 / laterFactor(m, p), p, m - p),
      moved: outside ? movedSet(covariance, deviation, t2, m, level) : [],
    }
  })
  return { points, baselineLimit, laterLimit }
}

function check(rows: readonly ArrayLike<number>[], p: number, baseline: number, level: number): void {
  if (p === 0) throw new ArgumentError('rows', 'no characteristics')
  if (!(Number.isInteger(baseline) && baseline >= p + 2 && baseline <= rows.length)) {
    throw new ArgumentError(
      'baseline',
      `${baseline} builds do not do for ${p} characteristics: at least ${p + 2}, at most all`,
    )
  }
  if (!(level > 0 && level < 1))
    throw new ArgumentError('level', `${level} is not a probability between 0 and 1`)
  for (const [i, row] of rows.entries()) {
    if (row.length !== p)
      throw new ArgumentError('rows', `row ${i + 1} has ${row.length} values, the first has ${p}`)
    for (let j = 0; j < p; j++) {
      if (!Number.isFinite(row[j]))
        throw new ArgumentError('rows', `value ${j + 1} of row ${i + 1} is not finite`)
    }
  }
}

function laterFactor(m: number, p: number): number {
  return (p * (m + 1) * (m - 1)) / (m * (m - p))
}

/** Upper tail of T² of a baseline build, whose share of (m − 1)²/m is beta distributed. */
function baselineTail(t2: number, m: number, p: number): number {
  const share = Math.min(1, (t2 * m) / (m - 1) ** 2)
  if (share === 1) return 0
  return fUpper(((share / (1 - share)) * (m - p - 1)) / p, p, m - p - 1)
}

function columnMeans(rows: readonly ArrayLike<number>[], p: number): Float64Array {
  const first = rows[0] as ArrayLike<number>
  const mean = new Float64Array(p)
  for (const row of rows) {
    for (let j = 0; j < p; j++) mean[j] = (mean[j] as number) + (row[j] as number) - (first[j] as number)
  }
  return mean.map((sum, j) => (first[j] as number) + sum / rows.length)
}

function covarianceOf(rows: readonly ArrayLike<number>[], mean: Float64Array): Float64Array {
  const p = mean.length
  const covariance = new Float64Array(p * p)
  for (const row of rows) {
    for (let i = 0; i < p; i++) {
      const di = (row[i] as number) - (mean[i] as number)
      for (let j = 0; j <= i; j++) {
        const at = i * p + j
        covariance[at] = (covariance[at] as number) + di * ((row[j] as number) - (mean[j] as number))
      }
    }
  }
  for (let i = 0; i < p; i++) {
    for (let j = 0; j <= i; j++) {
      const value = (covariance[i * p + j] as number) / (rows.length - 1)
      covariance[i * p + j] = value
      covariance[j * p + i] = value
    }
  }
  return covariance
}

/** T² over some of the characteristics; null where those depend on one another exactly. */
function formOver(covariance: Float64Array, deviation: Float64Array, set: readonly number[]): number | null {
  const p = deviation.length
  const size = set.length
  const part = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++)
      part[i * size + j] = covariance[(set[i] as number) * p + (set[j] as number)] as number
  }
  const lower = cholesky(part, size)
  return (
    lower &&
    inverseForm(
      lower,
      set.map((i) => deviation[i] as number),
    )
  )
}

function movedSet(
  covariance: Float64Array,
  deviation: Float64Array,
  t2: number,
  m: number,
  level: number,
): number[] {
  const p = deviation.length
  const set: number[] = []
  while (set.length < p) {
    let best = -1
    let largest = Number.NEGATIVE_INFINITY
    for (const candidate of all(p)) {
      if (set.includes(candidate)) continue
      const form = formOver(covariance, deviation, [...set, candidate])
      if (form !== null && form > largest) {
        largest = form
        best = candidate
      }
    }
    if (best === -1) return set
    set.push(best)
    const rest = p - set.length
    if (rest === 0) return set
    // Whether the rest adds anything, given the set: C. R. Rao, Linear Statistical Inference (1973), 8c.4.
    const added = (((t2 - largest) / ((m * m - 1) / m + largest)) * (m - p)) / rest
    if (added <= fUpperQuantile(level, rest, m - p)) return set
  }
  return set
}

function all(p: number): number[] {
  return Array.from({ length: p }, (_, i) => i)
}
