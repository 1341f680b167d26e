import { chiSquareUpper } from '../distributions/chi-square.ts'
import { cholesky } from '../numbers/cholesky.ts'
import { type Observation, perAxis } from './observations.ts'
import { solveFactored } from './small-systems.ts'
import { AXES, millimetres, type PerAxis, type SizeTerms } from './terms.ts'

/** How parts of one build and load scatter. */
export interface PartScatter {
  /** Variance of the relative change of size of a part along each axis, from its place and all else it does not share. */
  readonly relative: PerAxis<number>
  /** Variance of one characteristic of a part that does not scale (surface, gauge), mm², by characteristic. */
  readonly own: ReadonlyMap<number, number>
  /** The same of green parts, mm²; null where none was measured twice. */
  readonly green: number | null
  /** Degrees of freedom behind these figures. */
  readonly df: number
}

interface Pooled {
  readonly squares: PerAxis<number>
  variance: number
  df: number
}

/**
 * Splits the variance inside cells into a part that goes with the square of the size, which the characteristics of one
 * part share along an axis, and one that does not:
 *
 *   variance of a characteristic = Σ over axes (weight × nominal)² × relative variance + own variance
 *
 * Weighted least squares on the pooled variances, weights from their chi-square variance at the fit (C. R. Rao, Linear
 * Statistical Inference and its Applications (1973), section 4j, for the principle), no component below zero. A
 * characteristic that clearly scatters more than so keeps the rest as its own.
 *
 * @returns null where no cell holds two parts
 */
export function scatterOfParts(observations: readonly Observation[]): PartScatter | null {
  const pooled = new Map<number, Pooled>()
  let greenSquares = 0
  let greenDf = 0
  for (const o of observations) {
    if (o.isGreen) {
      greenSquares += o.m2
      greenDf += o.n - 1
      continue
    }
    const { characteristic } = o.terms
    let known = pooled.get(characteristic.id)
    if (known === undefined) {
      known = { squares: squaredSizes(o.terms), variance: 0, df: 0 }
      pooled.set(characteristic.id, known)
    }
    known.variance += o.m2
    known.df += o.n - 1
  }
  const items = [...pooled].filter(([, { df }]) => df > 0)
  for (const [, item] of items) item.variance /= item.df
  const df = items.reduce((sum, [, item]) => sum + item.df, 0)
  if (df === 0 || items.every(([, item]) => item.variance === 0)) return null

  let fitted = items.map(([, item]) => item.variance)
  let components = [0, 0, 0, 0]
  for (let round = 0; round < 20; round++) {
    components = nonNegativeFit(
      items.map(([, item]) => item),
      fitted,
    )
    fitted = items.map(([, item]) => Math.max(item.variance * 1e-3, varianceAt(components, item)))
  }
  const [x, y, z, constant] = components as [number, number, number, number]
  // Nothing measured is free of scatter: a gauge at least rounds.
  const least = 1e-3 * Math.min(...items.map(([, item]) => item.variance).filter((v) => v > 0))
  const own = new Map<number, number>()
  for (const [id, item] of pooled) {
    const expected = varianceAt(components, item)
    const doubt = item.df > 0 ? 2 * item.variance * Math.sqrt(2 / item.df) : Number.POSITIVE_INFINITY
    own.set(id, Math.max(least, constant) + Math.max(0, item.variance - expected - doubt))
  }
  return {
    relative: { X: x, Y: y, Z: z },
    own,
    green: greenDf > 0 ? greenSquares / greenDf : null,
    df,
  }
}

function squaredSizes({ characteristic, weights }: SizeTerms): PerAxis<number> {
  const size = (characteristic.nominal as number) * millimetres(characteristic)
  return perAxis((axis) => (weights[axis] * size) ** 2)
}

function varianceAt(components: readonly number[], { squares }: Pooled): number {
  let sum = components[3] as number
  for (const [a, axis] of AXES.entries()) sum += squares[axis] * (components[a] as number)
  return sum
}

/** Least squares with no component below zero: the best of all sets of components that come out above it. */
function nonNegativeFit(items: readonly Pooled[], fitted: readonly number[]): number[] {
  const rows = items.map((item) => [...AXES.map((axis) => item.squares[axis]), 1])
  const weights = items.map((item, i) => item.df / (fitted[i] as number) ** 2)
  let best = [0, 0, 0, 0]
  let least = Number.POSITIVE_INFINITY
  for (let set = 1; set < 16; set++) {
    const used = [0, 1, 2, 3].filter((c) => (set >> c) & 1)
    const size = used.length
    const matrix = new Float64Array(size * size)
    const right = new Float64Array(size)
    for (const [i, row] of rows.entries()) {
      const w = weights[i] as number
      for (const [r, a] of used.entries()) {
        right[r] = (right[r] as number) + w * (row[a] as number) * (items[i] as Pooled).variance
        for (const [c, b] of used.entries())
          matrix[r * size + c] =
            (matrix[r * size + c] as number) + w * (row[a] as number) * (row[b] as number)
      }
    }
    const factor = cholesky(matrix, size)
    if (factor === null) continue
    solveFactored(factor, right)
    if (right.some((value) => value < 0)) continue
    const components = [0, 0, 0, 0]
    for (const [r, a] of used.entries()) components[a] = right[r] as number
    const squares = items.reduce(
      (sum, item, i) => sum + (weights[i] as number) * (item.variance - varianceAt(components, item)) ** 2,
      0,
    )
    if (squares < least) {
      least = squares
      best = components
    }
  }
  return best
}

/**
 * The scatter with that of further characteristics, which had no part in it: what their cells scatter by beyond what
 * the axes explain is their own.
 */
export function withOwnScatter(scatter: PartScatter, further: readonly Observation[]): PartScatter {
  const pooled = new Map<number, Pooled>()
  for (const { isGreen, terms, m2, n } of further) {
    if (isGreen) continue
    const { id } = terms.characteristic
    const known = pooled.get(id) ?? { squares: squaredSizes(terms), variance: 0, df: 0 }
    pooled.set(id, { ...known, variance: known.variance + m2, df: known.df + n - 1 })
  }
  const { X, Y, Z } = scatter.relative
  const least = Math.min(...scatter.own.values())
  const own = new Map(scatter.own)
  for (const [id, item] of pooled) {
    const rest = item.df > 0 ? item.variance / item.df - varianceAt([X, Y, Z, 0], item) : 0
    own.set(id, Math.max(least, rest))
  }
  return { ...scatter, own }
}

/** A build scatters more than the others where so little chance is left of it. */
const WIDE_LEVEL = 0.001

/**
 * How many times wider than usual the parts of one build and load scatter, as a factor on the variance; 1 unless they
 * surely scatter more. The characteristics of one part go together, so that only parts times axes count.
 */
export function widening(observations: readonly Observation[], scatter: PartScatter): number {
  let ratio = 0
  let count = 0
  const parts = new Map<number, number>()
  const axes = new Set<string>()
  for (const o of observations) {
    if (o.isGreen || o.n < 2) continue
    const { characteristic, weights, partGroup } = o.terms
    const size = (characteristic.nominal as number) * millimetres(characteristic)
    let expected = scatter.own.get(characteristic.id) as number
    for (const axis of AXES) {
      if (weights[axis] === 0) continue
      expected += (weights[axis] * size) ** 2 * scatter.relative[axis]
      axes.add(axis)
    }
    ratio += o.m2 / expected
    count += o.n - 1
    if (o.n - 1 > (parts.get(partGroup) ?? 0)) parts.set(partGroup, o.n - 1)
  }
  if (count === 0) return 1
  const factor = ratio / count
  let df = 0
  for (const n of parts.values()) df += n * axes.size
  return factor > 1 && chiSquareUpper(factor * df, df) < WIDE_LEVEL ? factor : 1
}
