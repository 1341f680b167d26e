import { ArgumentError } from '../errors.ts'
import { type Moments, standardDeviation } from './moments.ts'

/**
 * Values counted in narrow bins of one width, for drawings that need no more: bin `first + i` holds `counts[i]` values
 * from (first + i) · width up to, not including, the next edge.
 */
export interface BinnedValues {
  readonly n: number
  /** In the unit of the values. */
  readonly width: number
  readonly first: number
  readonly counts: readonly number[]
}

/** A bar of a histogram is so many bins wide. */
export const BINS_TO_A_BAR = 16

/** More bars than this tell nothing more; single values far out would ask for them. */
const MOST_BARS = 60

/** A value this near below an edge, in bins, counts as on it: decimals that lie on an edge miss it by rounding alone. */
const EDGE = 1e-6

/**
 * Width of the bars of a histogram of normal values: 3.49 s n^(−1/3), put to the nearest of 1, 2 or 5 times a power of
 * ten. Source: D. W. Scott, On optimal and data-based histograms, Biometrika 66 (1979), 605–610.
 *
 * @returns width of a bin, a sixteenth of a bar, in the unit of the values; null where all values are the same
 */
export function binWidth(moments: Moments): number | null {
  const sd = standardDeviation(moments)
  if (sd === null || moments.min === moments.max) return null
  const least = (moments.max - moments.min) / MOST_BARS
  const wanted = Math.max(least, 3.49 * sd * moments.n ** (-1 / 3))
  if (!(wanted > 0)) return null
  const power = 10 ** Math.floor(Math.log10(wanted))
  const bars = [1, 2, 5, 10].map((step) => step * power).filter((bar) => bar >= least)
  const nearest = bars.reduce((a, b) =>
    Math.abs(Math.log(b / wanted)) < Math.abs(Math.log(a / wanted)) ? b : a,
  )
  return nearest / BINS_TO_A_BAR
}

/**
 * @param values n finite numbers, n at least 1
 * @param width of a bin, in the unit of the values
 * @throws ArgumentError where there are no values
 */
export function binnedValues(values: ArrayLike<number>, width: number): BinnedValues {
  const n = values.length
  if (n === 0) throw new ArgumentError('values', 'no values')
  let [min, max] = [values[0] as number, values[0] as number]
  for (let i = 1; i < n; i++) {
    const value = values[i] as number
    if (value < min) min = value
    else if (value > max) max = value
  }
  const binOf = (value: number) => Math.floor(value / width + EDGE)
  const first = binOf(min)
  const counts = new Float64Array(binOf(max) - first + 1)
  for (let i = 0; i < n; i++) {
    const at = binOf(values[i] as number) - first
    counts[at] = (counts[at] as number) + 1
  }
  return { n, width, first, counts: Array.from(counts) }
}

/** One bar of a histogram, from its lower edge. */
export interface Bar {
  readonly from: number
  readonly to: number
  readonly count: number
}

/** The bars of a histogram, empty ones between others among them. */
export function barsOf({ width, first, counts }: BinnedValues): Bar[] {
  const bars: Bar[] = []
  const last = first + counts.length - 1
  for (let bar = Math.floor(first / BINS_TO_A_BAR); bar * BINS_TO_A_BAR <= last; bar++) {
    let count = 0
    for (let i = 0; i < BINS_TO_A_BAR; i++) count += counts[bar * BINS_TO_A_BAR + i - first] ?? 0
    bars.push({
      from: bar * BINS_TO_A_BAR * width,
      to: (bar + 1) * BINS_TO_A_BAR * width,
      count,
    })
  }
  return bars
}

/** A place of the sample on a probability plot. */
export interface PlottedShare {
  readonly value: number
  /** Share of the values below it, counting itself half. */
  readonly below: number
  /** Share above it, counting itself half. */
  readonly above: number
}

/**
 * The plotting positions (i − ½)/n, for values that share a bin in its middle and at their mean position: the drawing
 * is off by half a bin at most, a thirtieth of a bar. Source of the positions: A. Hazen, Transactions of the American
 * Society of Civil Engineers 77 (1914), 1539–1640.
 */
export function plottedShares({ n, width, first, counts }: BinnedValues): PlottedShare[] {
  const shares: PlottedShare[] = []
  let before = 0
  for (const [i, count] of counts.entries()) {
    if (count === 0) continue
    shares.push({
      value: (first + i + 0.5) * width,
      below: (before + count / 2) / n,
      above: (n - before - count / 2) / n,
    })
    before += count
  }
  return shares
}
