import { ArgumentError } from '../errors.ts'

/**
 * How many values lie in each of a row of buckets. Buckets are 2^exponent wide and begin at whole multiples of their
 * width, so that bucket i holds the values with i·2^exponent ≤ value < (i + 1)·2^exponent, to the last digit, since
 * dividing by a power of two rounds nothing. Counts of different sets of values are merged by adding them up.
 */
export interface BucketCounts {
  readonly exponent: number
  /** Of the buckets that hold something, ascending. */
  readonly indices: Float64Array
  /** Parallel to `indices`. */
  readonly counts: Float64Array
}

/** Buckets that the counts of one set of values span at most. */
export const MOST_BUCKETS = 256

/** The least width is that of the last binary digit of the values: indices stay below 2^53. */
const DIGITS = 52
/** No bucket is narrower, so that widths and their multiples stay normal numbers. */
const LEAST_EXPONENT = -1000

/**
 * Counts in the narrowest buckets of which `MOST_BUCKETS` span the values. A bucket is then narrower than
 * (maximum − minimum) / 127: half as narrow ones would have been too many, so w/2 < range / (256 − 2).
 *
 * @param values n finite numbers, n at least 1, in any unit
 * @throws ArgumentError where there are no values or one is not finite
 */
export function bucketCounts(values: ArrayLike<number>): BucketCounts {
  if (values.length === 0) throw new ArgumentError('values', 'no values')
  let min = Number.POSITIVE_INFINITY
  let max = Number.NEGATIVE_INFINITY
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number
    if (!Number.isFinite(value)) throw new ArgumentError('values', `value ${i + 1} is not finite`)
    if (value < min) min = value
    if (value > max) max = value
  }
  const exponent = narrowest(min, max)
  const width = 2 ** exponent
  const first = indexOf(min, width)
  const dense = new Float64Array(indexOf(max, width) - first + 1)
  for (let i = 0; i < values.length; i++) {
    const at = indexOf(values[i] as number, width) - first
    dense[at] = (dense[at] as number) + 1
  }
  const occupied = dense.reduce((sum, count) => sum + (count > 0 ? 1 : 0), 0)
  const indices = new Float64Array(occupied)
  const counts = new Float64Array(occupied)
  let k = 0
  for (let i = 0; i < dense.length; i++) {
    if (dense[i] === 0) continue
    indices[k] = first + i
    counts[k++] = dense[i] as number
  }
  return { exponent, indices, counts }
}

function indexOf(value: number, width: number): number {
  const quotient = value / width
  // Only where the quotient is less than the least of numbers does the division round, and then to zero.
  return quotient === 0 && value < 0 ? -1 : Math.floor(quotient)
}

function narrowest(min: number, max: number): number {
  const greatest = Math.max(Math.abs(min), Math.abs(max))
  let exponent = Math.max(LEAST_EXPONENT, exponentOf(greatest) - DIGITS)
  // Halved before they are subtracted: the range of two finite numbers may be beyond them.
  const half = max / 2 - min / 2
  if (half > 0) exponent = Math.max(exponent, exponentOf(half) + 1 - Math.log2(MOST_BUCKETS))
  const span = () => indexOf(max, 2 ** exponent) - indexOf(min, 2 ** exponent) + 1
  while (span() > MOST_BUCKETS) exponent++
  return exponent
}

/** The e with 2^e ≤ x < 2^(e + 1), or one beside it: the logarithm is rounded. */
function exponentOf(x: number): number {
  return x === 0 ? LEAST_EXPONENT : Math.floor(Math.log2(x))
}

/**
 * What is known of a set of values: some exactly, and how many lie in which buckets of the others. Buckets of
 * different widths stand side by side, so that one wide set does not blur the others.
 */
export interface KnownValues {
  /** Values known exactly, in any order. */
  readonly values: Float64Array
  /** One a width, in any order. */
  readonly buckets: readonly BucketCounts[]
}

/** Counts of all sets together, exact: one a width. The order of the sets makes no difference. */
export function mergeBuckets(sets: Iterable<BucketCounts>): BucketCounts[] {
  const widths = new Map<number, Map<number, number>>()
  for (const { exponent, indices, counts } of sets) {
    let sum = widths.get(exponent)
    if (sum === undefined) {
      sum = new Map()
      widths.set(exponent, sum)
    }
    for (let i = 0; i < indices.length; i++) {
      const index = indices[i] as number
      sum.set(index, (sum.get(index) ?? 0) + (counts[i] as number))
    }
  }
  return [...widths]
    .sort(([a], [b]) => a - b)
    .map(([exponent, sum]) => {
      const indices = Float64Array.from(sum.keys()).sort()
      return { exponent, indices, counts: indices.map((index) => sum.get(index) as number) }
    })
}

/** What a figure lies between, for certain; both the same where it is known exactly. */
export interface Bounds {
  readonly lower: number
  readonly upper: number
}

/**
 * Bounds of the sample quantiles of definition 7 (the extremes are at 0 and 1; see `quantiles`), in the unit of the
 * values. Each value lies between the edges of its bucket, so the r-th smallest lies between the r-th smallest of
 * all lower edges and the r-th smallest of all upper ones. The bounds are at most as far apart as the widest bucket,
 * and close to the width of those around the quantile.
 *
 * @param probabilities each from 0 to 1
 * @param range least and greatest value, where they are known, which bound the quantiles too
 * @throws ArgumentError where there are no values, or a probability is out of range
 */
export function quantileBounds(
  known: KnownValues,
  probabilities: readonly number[],
  range: { readonly min: number; readonly max: number } | null = null,
): Bounds[] {
  const lower = rankedEdges(known, 0)
  const upper = rankedEdges(known, 1)
  const n = lower.ranks[lower.ranks.length - 1]
  if (n === undefined) throw new ArgumentError('known', 'no values')
  const clipped = (x: number) => (range === null ? x : Math.min(range.max, Math.max(range.min, x)))
  return probabilities.map((p) => {
    if (!(p >= 0 && p <= 1)) throw new ArgumentError('probabilities', `${p} is not from 0 to 1`)
    const place = 1 + (n - 1) * p
    return { lower: clipped(between(lower, place)), upper: clipped(between(upper, place)) }
  })
}

/**
 * Bounds of the number of values below each x. Exact where x is an edge of buckets, or no bucket holds it.
 */
export function countBounds(known: KnownValues, xs: readonly number[]): Bounds[] {
  // A value counts for certain where its upper edge is not above x, and perhaps where its lower edge is below x.
  const lower = rankedEdges(known, 0)
  const upper = rankedEdges(known, 1)
  const exact = Float64Array.from(known.values).sort()
  return xs.map((x) => {
    const below = exact.length === 0 ? 0 : firstAtLeast(exact, x)
    // The edges of exact values are the values themselves, for which "not above" would be one too many.
    const upTo = exact.length === 0 ? 0 : firstAbove(exact, x)
    return {
      lower: rankBefore(upper, firstAbove(upper.edges, x)) - (upTo - below),
      upper: rankBefore(lower, firstAtLeast(lower.edges, x)),
    }
  })
}

interface RankedEdges {
  /** Ascending. */
  readonly edges: Float64Array
  /** How many values have this edge or one before it. */
  readonly ranks: Float64Array
}

/** Lower (0) or upper (1) edges of all values, each once. */
function rankedEdges({ values, buckets }: KnownValues, side: 0 | 1): RankedEdges {
  const length = buckets.reduce((sum, { indices }) => sum + indices.length, values.length)
  const edges = new Float64Array(length)
  const counts = new Float64Array(length).fill(1)
  edges.set(values)
  let k = values.length
  for (const { exponent, indices, counts: own } of buckets) {
    const width = 2 ** exponent
    for (let i = 0; i < indices.length; i++, k++) {
      edges[k] = ((indices[i] as number) + side) * width
      counts[k] = own[i] as number
    }
  }
  const ranks = new Float64Array(length)
  if (buckets.length === 0) {
    edges.sort()
    for (let i = 0; i < length; i++) ranks[i] = i + 1
    return { edges, ranks }
  }
  const order = Uint32Array.from({ length }, (_, i) => i).sort(
    (a, b) => (edges[a] as number) - (edges[b] as number),
  )
  let rank = 0
  for (let i = 0; i < length; i++) {
    rank += counts[order[i] as number] as number
    ranks[i] = rank
  }
  return { edges: Float64Array.from(order, (i) => edges[i] as number), ranks }
}

/** Value at a place from 1 to n among the edges, with a straight line between neighbours. */
function between({ edges, ranks }: RankedEdges, place: number): number {
  const rank = Math.floor(place)
  const at = firstAtLeast(ranks, rank)
  const low = edges[at] as number
  const high = edges[Math.min(firstAtLeast(ranks, rank + 1), edges.length - 1)] as number
  return low + (place - rank) * (high - low)
}

function rankBefore({ ranks }: RankedEdges, at: number): number {
  return at === 0 ? 0 : (ranks[at - 1] as number)
}

/** Index of the first entry of an ascending array that is at least x; its length where none is. */
function firstAtLeast(ascending: Float64Array, x: number): number {
  let [from, to] = [0, ascending.length]
  while (from < to) {
    const middle = (from + to) >> 1
    if ((ascending[middle] as number) < x) from = middle + 1
    else to = middle
  }
  return from
}

/** Index of the first entry of an ascending array that is above x; its length where none is. */
function firstAbove(ascending: Float64Array, x: number): number {
  let [from, to] = [0, ascending.length]
  while (from < to) {
    const middle = (from + to) >> 1
    if ((ascending[middle] as number) <= x) from = middle + 1
    else to = middle
  }
  return from
}
