import { ArgumentError } from '../errors.ts'

/** Whether the gauge's steps are fine enough for a control chart to see the scatter. */
export interface GaugeResolution {
  /** Smallest distance between two different values, in their unit; null where all values are the same. */
  readonly step: number | null
  /** How many different values a moving range can take from 0 up to its control limit. */
  readonly possibleRanges: number
  /** Share of moving ranges that are 0. */
  readonly zeroRanges: number
  readonly resolves: boolean
}

/** D4(2) times d2(2), d2 + 3 d3 for two values: the upper control limit of a moving range is this many sigma. */
const RANGE_LIMIT = 2 / Math.sqrt(Math.PI) + 3 * Math.sqrt(2 - 4 / Math.PI)

/**
 * A chart of ranges that shows only one, two or three possible values inside its limits, or four of which more than a
 * quarter are 0, tells that the gauge's steps are too coarse for the scatter; limits are then not to be trusted.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter I, section E, on discrimination (from
 * memory); D. J. Wheeler and R. W. Lyday, Evaluating the Measurement Process (1989).
 *
 * @param values n finite numbers in the order taken, n at least 2
 * @param sigma standard deviation of the values, not negative
 * @throws ArgumentError where there are too few values, one is not finite, or sigma is negative or not finite
 */
export function gaugeResolution(values: ArrayLike<number>, sigma: number): GaugeResolution {
  const n = values.length
  if (n < 2) throw new ArgumentError('values', `${n} values; a moving range needs 2`)
  if (!(sigma >= 0 && Number.isFinite(sigma))) throw new ArgumentError('sigma', `${sigma} is not a scatter`)
  const sorted = Float64Array.from(values).sort()
  if (!sorted.every(Number.isFinite)) throw new ArgumentError('values', 'a value is not finite')
  // Decimals that are the same step apart differ by a few units in the last place once they are doubles.
  const same = 8 * Number.EPSILON * Math.max(Math.abs(sorted[0] as number), Math.abs(sorted[n - 1] as number))
  let step: number | null = null
  let zeros = 0
  for (let i = 1; i < n; i++) {
    const gap = (sorted[i] as number) - (sorted[i - 1] as number)
    if (gap > same && (step === null || gap < step)) step = gap
    if (Math.abs((values[i] as number) - (values[i - 1] as number)) <= same) zeros++
  }
  const zeroRanges = zeros / (n - 1)
  if (step === null) return { step, possibleRanges: 1, zeroRanges, resolves: false }
  // The limit is a measured figure: one that falls on a step to six digits counts as reaching it.
  const possibleRanges = 1 + Math.floor((RANGE_LIMIT * sigma) / step + 1e-6)
  const resolves = possibleRanges > 4 || (possibleRanges === 4 && zeroRanges <= 0.25)
  return { step, possibleRanges, zeroRanges, resolves }
}
