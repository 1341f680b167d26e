import { c4 } from '../constants/c4.ts'
import { ArgumentError } from '../errors.ts'
import { ABOVE_THREE, BELOW_THREE, ON_CENTRE, REGIONS, testAutomaton } from './test-automaton.ts'
import { WESTERN_ELECTRIC } from './tests.ts'

/** Limits of one phase charted as means with s, and which of the four tests each subgroup takes part in breaching. */
export interface ArrayChart {
  readonly centre: number
  /** Pooled standard deviation inside subgroups over c4(ν + 1); null where no baseline subgroup has two values. */
  readonly sigmaWithin: number | null
  readonly dfWithin: number
  /** Three-sigma limits for subgroups of n values, which nothing else makes differ; null where there are none. */
  readonly limitsOf: (n: number) => ArrayLimits | null
  /**
   * For each subgroup, bit t of 0 to 3 where it makes up a signal of the t-th Western Electric test in its mean (the
   * side is that of the mean), and SPREAD_BIT where its standard deviation lies beyond a limit.
   */
  readonly breached: Uint8Array
}

export interface ArrayLimits {
  readonly lower: number
  readonly upper: number
  /** Null for single values. A lower limit that is not above zero does not exist. */
  readonly spread: { readonly centre: number; readonly lower: number | null; readonly upper: number } | null
}

/** The bit of `ArrayChart.breached` that stands for the spread. */
export const SPREAD_BIT = 16

/**
 * Limits and the four Western Electric tests for a long run of subgroups held as flat arrays: the same figures, to the
 * last digit, and the same points as `buildChart` gives for one phase charted as means with s.
 *
 * Sources as for `sigmaWithin` and `WESTERN_ELECTRIC`.
 *
 * @param n k subgroup sizes, whole numbers from 1 up
 * @param mean k means in one unit
 * @param m2 k sums of squared deviations from the mean, in that unit squared
 * @param baseline the limits come from the first so many subgroups, 1 to k
 * @throws ArgumentError where lengths differ, the baseline is out of range or a subgroup has no usable moments
 */
export function arrayChart(
  n: Float64Array,
  mean: Float64Array,
  m2: Float64Array,
  baseline: number,
): ArrayChart {
  const k = n.length
  if (mean.length !== k || m2.length !== k) {
    throw new ArgumentError('mean', `${k} sizes, ${mean.length} means and ${m2.length} sums of squares`)
  }
  if (!(Number.isInteger(baseline) && baseline >= 1 && baseline <= k)) {
    throw new ArgumentError('baseline', `${baseline} of ${k} subgroups`)
  }
  const { centre, sigma, df } = estimate(n, mean, m2, baseline)
  const breached = new Uint8Array(k)
  const exists = sigma !== null && sigma > 0
  if (exists) judge({ n, mean, m2, centre, sigma }, breached)
  else for (let i = 0; i < k; i++) checkSubgroup(n, mean, m2, i)
  return {
    centre,
    sigmaWithin: sigma,
    dfWithin: df,
    limitsOf: (size) => (exists ? limitsOf(size, centre, sigma) : null),
    breached,
  }
}

function estimate(
  n: Float64Array,
  mean: Float64Array,
  m2: Float64Array,
  baseline: number,
): { centre: number; sigma: number | null; df: number } {
  const origin = mean[0] as number
  const { squares, df, sum, count } = sums(n, mean, m2, baseline, origin)
  if (!(df >= 0 && squares >= 0 && Number.isFinite(df + squares + sum))) {
    for (let i = 0; i < baseline; i++) checkSubgroup(n, mean, m2, i)
  }
  const sigma = df === 0 ? null : Math.sqrt(squares / df) / c4(df + 1)
  return { centre: origin + sum / count, sigma, df }
}

/** Sums in the order and manner of `sigmaWithin` and of the chart's weighted mean. */
function sums(n: Float64Array, mean: Float64Array, m2: Float64Array, baseline: number, origin: number) {
  let squares = 0
  let df = 0
  let sum = 0
  let count = 0
  for (let i = 0; i < baseline; i++) {
    const size = n[i] as number
    squares += m2[i] as number
    df += size - 1
    sum += size * ((mean[i] as number) - origin)
    count += size
  }
  return { squares, df, sum, count }
}

function checkSubgroup(n: Float64Array, mean: Float64Array, m2: Float64Array, i: number): void {
  const size = n[i] as number
  if (!(Number.isInteger(size) && size >= 1))
    throw new ArgumentError('n', `subgroup ${i + 1} has size ${size}`)
  if (!Number.isFinite(mean[i])) throw new ArgumentError('mean', `mean ${i + 1} is not finite`)
  if (!((m2[i] as number) >= 0 && Number.isFinite(m2[i]))) {
    throw new ArgumentError('m2', `sum of squares ${i + 1} is negative or not finite`)
  }
}

function limitsOf(n: number, centre: number, sigma: number): ArrayLimits {
  const error = sigma / Math.sqrt(n)
  const lower = centre - 3 * error
  const upper = centre + 3 * error
  if (n < 2) return { lower, upper, spread: null }
  const spreadCentre = c4(n) * sigma
  const spreadError = Math.sqrt(1 - c4(n) ** 2) * sigma
  const spreadLower = spreadCentre - 3 * spreadError
  return {
    lower,
    upper,
    spread: {
      centre: spreadCentre,
      lower: spreadLower > 0 ? spreadLower : null,
      upper: spreadCentre + 3 * spreadError,
    },
  }
}

const AUTOMATON = testAutomaton(WESTERN_ELECTRIC)
const NEXT = AUTOMATON.next
const TESTS = WESTERN_ELECTRIC.length
const OF = Int32Array.from(WESTERN_ELECTRIC, (test) => test.of)
const BEYOND = Float64Array.from(WESTERN_ELECTRIC, (test) => test.beyond)

/** Sizes have places in the tables below by their last ten bits. */
const PLACES = 1024
// Filled anew for every chart: with tables that never move the loop over the points is half again as fast.
/** The size that the place is filled for; 0 where for none. */
const SIZE = new Float64Array(PLACES)
/** 1 / standard error of a mean of that size. */
const PRECISION = new Float64Array(PLACES)
/** Sums of squares between these are surely inside the limits of the spread. */
const LEAST = new Float64Array(PLACES)
const MOST = new Float64Array(PLACES)
/** c4 of that size. */
const UNBIASED = new Float64Array(PLACES)

/** Closer to a line than this, in sigmas or as a fraction of a limit, a point is judged by the exact quotient. */
const CLOSE = 1e-9
const INSIDE = 0.5 - CLOSE

/** What a phase's points are judged by. */
interface Judged {
  readonly n: Float64Array
  readonly mean: Float64Array
  readonly m2: Float64Array
  readonly centre: number
  readonly sigma: number
}

/**
 * Most points lie clearly between lines and complete no test. The inner loop passes over them without a division, by
 * a product that is right but for the last digit and by bounds on the squares; the others take the slower, exact way.
 */
function judge(judged: Judged, breached: Uint8Array): void {
  const { n, mean, m2, centre } = judged
  const { firstCompleting } = AUTOMATON
  const last = new Int32Array(2 * TESTS).fill(-1)
  SIZE.fill(0)
  const k = n.length
  let state = 0
  for (let i = 0; i < k; i++) {
    let to = -1
    for (; i < k; i++) {
      const size = n[i] as number
      const place = (size | 0) & (PLACES - 1)
      const fromLowest = ((mean[i] as number) - centre) * (PRECISION[place] as number) + 3
      const region = fromLowest | 0
      const squares = m2[i] as number
      // Below 0 the part cut off is negative, and its distance from a half at least a half.
      const clear =
        region < 6 &&
        Math.abs(fromLowest - region - 0.5) < INSIDE &&
        squares >= (LEAST[place] as number) &&
        squares <= (MOST[place] as number) &&
        SIZE[place] === size
      if (!clear) break
      to = NEXT[state + region] as number
      if (to >= firstCompleting) break
      state = to
      to = -1
    }
    if (to >= 0) {
      mark(judged, i, to, last, breached)
      state = to
    } else if (i < k) state = judgeExactly(judged, i, state, last, breached)
  }
}

/** Judges point i, coming from a state. @returns the state after it */
function judgeExactly(
  judged: Judged,
  i: number,
  before: number,
  last: Int32Array,
  breached: Uint8Array,
): number {
  const size = judged.n[i] as number
  const place = size & (PLACES - 1)
  checkSubgroup(judged.n, judged.mean, judged.m2, i)
  if (SIZE[place] !== size) fillPlace(place, judged, size)
  const state = NEXT[before + exactRegion(zOf(judged, i))] as number
  if (state >= AUTOMATON.firstCompleting) mark(judged, i, state, last, breached)
  const sd = Math.sqrt((judged.m2[i] as number) / (size - 1))
  const unbiased = UNBIASED[place] as number
  const z = (sd - unbiased * judged.sigma) / (Math.sqrt(1 - unbiased ** 2) * judged.sigma)
  if (Math.abs(z) > 3) breached[i] = (breached[i] as number) | SPREAD_BIT
  return state
}

function fillPlace(place: number, { centre, sigma }: Judged, size: number): void {
  const { spread } = limitsOf(size, centre, sigma)
  SIZE[place] = size
  UNBIASED[place] = size < 2 ? Number.NaN : c4(size)
  PRECISION[place] = Math.sqrt(size) / sigma
  LEAST[place] = (size - 1) * (spread?.lower ?? 0) ** 2 * (1 + CLOSE)
  MOST[place] = spread === null ? Number.MAX_VALUE : (size - 1) * spread.upper ** 2 * (1 - CLOSE)
}

/** Distance from the centre in standard errors, by the operations of `buildChart`. */
function zOf({ n, mean, centre, sigma }: Judged, i: number): number {
  return ((mean[i] as number) - centre) / (sigma / Math.sqrt(n[i] as number))
}

function exactRegion(z: number): number {
  if (z === 0) return ON_CENTRE
  if (z > 3) return ABOVE_THREE
  if (z < -3) return BELOW_THREE
  return z > 0 ? 2 + Math.ceil(z) : 3 + Math.floor(z)
}

/**
 * Marks the points that make up the tests completed at i.
 *
 * @param last where each test was last completed, below the centre and above it, −1 for nowhere
 */
function mark(judged: Judged, i: number, state: number, last: Int32Array, breached: Uint8Array): void {
  const completed = AUTOMATON.completed[state / REGIONS] as number
  const sign = (judged.mean[i] as number) > judged.centre ? 1 : -1
  const sides = sign > 0 ? TESTS : 0
  breached[i] = (breached[i] as number) | completed
  for (let t = 0, rest = completed; rest !== 0; t++, rest >>= 1) {
    if ((rest & 1) === 0) continue
    // What lies up to the last completion on this side was marked with it.
    const from = Math.max((last[sides + t] as number) + 1, i - (OF[t] as number) + 1)
    last[sides + t] = i
    for (let j = from; j < i; j++) {
      if (sign * zOf(judged, j) > (BEYOND[t] as number)) breached[j] = (breached[j] as number) | (1 << t)
    }
  }
}
