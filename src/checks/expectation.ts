import { type Moments, mergeMoments } from '../description/moments.ts'
import type { Stage } from '../domain/cell.ts'
import { type Characteristic, KINDS_WITH_FLOOR } from '../domain/characteristic.ts'

/** What of a characteristic says where its values are to be expected. */
export type Required = Pick<Characteristic, 'kind' | 'nominal' | 'lower' | 'upper'>

/**
 * Where values of a characteristic are to be expected. The bounds are wide on purpose: between them nothing is
 * doubted, so that honest values, of a process however poor, hardly ever are.
 */
export interface Expectation {
  /** Between these, no value is doubted. */
  readonly low: number
  readonly high: number
  /** A value that is doubted must be explained by one between these. */
  readonly likelyLow: number
  readonly likelyHigh: number
  /** Middle of what is likely. */
  readonly centre: number
}

/** Values on record from which on they say more than the limits do. */
const ENOUGH = 20
/** Standard deviations, builds and all, that honest values stay within. */
const WIDE = 10
const LIKELY = 4
/** Half tolerances that honest values of a process stay within before anything is on record of it. */
const TOLERANCES = 5
/** Share of a dimension that the first parts of a job may be off by, since their shrinkage was guessed. */
const FIRST_SHRINKAGE = 0.03
/** Least standard deviation, as a share of the value: gauges resolve no finer. */
const FINEST = 1e-4

/** What the record, or else the drawing, makes one expect; null where neither says anything. */
export function expectationOf(
  characteristic: Required,
  stage: Stage,
  recorded: Moments | null,
): Expectation | null {
  if (recorded !== null && recorded.n >= ENOUGH) return fromRecord(characteristic, stage, recorded)
  return fromDrawing(characteristic, stage)
}

function fromRecord({ kind, lower, upper }: Required, stage: Stage, m: Moments): Expectation {
  const sd = Math.max(Math.sqrt(m.m2 / (m.n - 1)), FINEST * Math.abs(m.mean))
  const range = m.max - m.min
  let low = Math.min(m.mean - WIDE * sd, m.min - range)
  let high = Math.max(m.mean + WIDE * sd, m.max + range)
  if (stage !== 'green') {
    // What conforms is not doubted.
    low = Math.min(low, lower ?? low)
    high = Math.max(high, upper ?? high)
  }
  const floored = KINDS_WITH_FLOOR.has(kind)
  return {
    low: floored ? Math.min(low, 0) : low,
    high: floored ? Math.max(high, 3 * m.max) : high,
    likelyLow: Math.max(m.mean - LIKELY * sd, floored ? m.min / 2 : Number.NEGATIVE_INFINITY),
    likelyHigh: m.mean + LIKELY * sd,
    centre: m.mean,
  }
}

function fromDrawing(characteristic: Required, stage: Stage): Expectation | null {
  const { kind, nominal, lower, upper } = characteristic
  if (KINDS_WITH_FLOOR.has(kind)) {
    if (upper === null || upper <= 0 || stage === 'green') return null
    return { low: 0, high: 8 * upper, likelyLow: upper / 10, likelyHigh: upper, centre: upper / 2 }
  }
  const centre = nominal ?? (lower !== null && upper !== null ? (lower + upper) / 2 : (lower ?? upper))
  if (centre === null || centre === 0) return null
  const size = Math.abs(centre)
  if (stage === 'green') {
    // A green part is larger by what the furnace takes back, some 15 to 25 % (common practice).
    const [a, b] = centre > 0 ? [1, 1.35] : [1.35, 1]
    const [c, d] = centre > 0 ? [0.8, 1.7] : [1.7, 0.8]
    return {
      low: c * centre,
      high: d * centre,
      likelyLow: a * centre,
      likelyHigh: b * centre,
      centre: 1.18 * centre,
    }
  }
  const half = Math.max(upper === null ? 0 : upper - centre, lower === null ? 0 : centre - lower)
  const reach = Math.max(TOLERANCES * half, FIRST_SHRINKAGE * size)
  const likely = half > 0 ? 1.5 * half : 0.01 * size
  return {
    low: centre - reach,
    high: centre + reach,
    likelyLow: centre - likely,
    likelyHigh: centre + likely,
    centre,
  }
}

/** Values one after another before they say where the next is to be expected. */
const SHOWN = 15

/** What the last values before it make one expect, where nothing else does. */
export function expectationFromValues(values: ArrayLike<number>): Expectation | null {
  if (values.length < SHOWN) return null
  const { median, sd } = robust(values)
  const size = Math.abs(median)
  const reach = Math.max(25 * sd, 0.1 * size)
  return {
    low: median - reach,
    high: median + reach,
    likelyLow: median - 6 * sd,
    likelyHigh: median + 6 * sd,
    centre: median,
  }
}

/** Whether the value is one more of its kind beside these, however far from what was expected. */
export function fitsValues(value: number, values: ArrayLike<number>): boolean {
  if (values.length < 6) return false
  const { median, sd } = robust(values)
  return Math.abs(value - median) <= Math.max(WIDE * sd, 0.005 * Math.abs(median))
}

function robust(values: ArrayLike<number>): { median: number; sd: number } {
  const middle = (all: number[]) => all.sort((a, b) => a - b)[all.length >> 1] as number
  const all = Array.from(values)
  const median = middle([...all])
  const deviation = middle(all.map((value) => Math.abs(value - median)))
  return { median, sd: Math.max(1.4826 * deviation, FINEST * Math.abs(median)) }
}

/** The values of one characteristic at one stage, summed up. */
export interface Spread extends Moments {
  readonly characteristicId: number
  readonly stage: Stage
}

/** All cells of each characteristic at each stage, merged. */
export function mergedSpreads(cells: readonly Spread[]): Spread[] {
  const merged = new Map<string, Spread>()
  for (const cell of cells) {
    const { characteristicId, stage } = cell
    const key = `${characteristicId}/${stage}`
    const before = merged.get(key)
    merged.set(key, {
      characteristicId,
      stage,
      ...(before === undefined ? momentsIn(cell) : mergeMoments(before, cell)),
    })
  }
  return [...merged.values()]
}

function momentsIn({ n, mean, m2, min, max }: Moments): Moments {
  return { n, mean, m2, min, max }
}
