import { cholesky } from '../numbers/cholesky.ts'
import { boundedMinimum } from '../variation/bounded-minimum.ts'
import type { PartDeviation } from './part-deviations.ts'
import { forwardSolve, solveFactored } from './small-systems.ts'

export type PlaceKind = 'place in plan' | 'height in bed' | 'tray'

/** Lasting effect of one place: how much larger parts come out there along an axis, as a fraction. */
export interface PlaceEffect {
  /** A box of the plan or a layer of the bed by its extent in mm; a tray by its name. */
  readonly place: PlaceName
  readonly parts: number
  /** Predicted, drawn towards 0 by as much as the parts there leave it in doubt. */
  readonly value: number
  /** Standard deviation of the true effect around it. */
  readonly standardError: number
}

export type PlaceName =
  | { readonly x: readonly [number, number]; readonly y: readonly [number, number] }
  | { readonly z: readonly [number, number] }
  | { readonly tray: string }

/** The places of one kind. */
export interface PlaceComponent {
  readonly kind: PlaceKind
  /** Variance between places, of relative size. */
  readonly variance: number
  readonly effects: readonly PlaceEffect[]
}

export interface PlaceEffects {
  readonly components: readonly PlaceComponent[]
  /** Variance of parts around what their places explain. */
  readonly residual: number
  readonly parts: number
  readonly builds: number
}

/** Boxes along the longer side of the bed in plan, and layers of its height. */
const BOXES = 5
const LAYERS = 5
/** A variance so small beside that of parts is none. */
const LEAST = 1e-6

/**
 * Effects of the places of parts, all at once: boxes of the bed in plan, layers of its height, and trays as crossed
 * random effects on top of the builds, which are taken out as they are. Variances by restricted maximum likelihood, and
 * the effects as best linear unbiased predictions.
 *
 * Source: C. R. Henderson, Biometrics 31 (1975), 423–447; S. R. Searle, G. Casella and C. E. McCulloch, Variance
 * Components (1992), sections 6.6 and 7.4.
 *
 * @returns null where no kind of place has two places with parts of one build, or nothing is left to judge by
 * @throws ConvergenceError where the variances are not found
 */
export function placeEffects(parts: readonly PartDeviation[]): PlaceEffects | null {
  const usable = parts.filter(({ bed, tray }) => bed !== null || tray !== null)
  const kinds = [planBoxes(usable), layers(usable), trays(usable)].filter(({ names }) => names.length > 1)
  // Parts that lack what some of the kinds tell by would be compared with others on different terms.
  const complete = usable.map((_, i) => kinds.every(({ of }) => of[i] !== null))
  const values = usable.filter((_, i) => complete[i])
  const builds = new Set(values.map(({ buildId }) => buildId)).size
  if (kinds.length === 0 || values.length - builds < 2) return null

  const columns = kinds.flatMap(({ names, of }, k) =>
    names.map((_, place) => ({
      kind: k,
      rows: of.filter((_, i) => complete[i]).map((at) => (at === place ? 1 : 0)),
    })),
  )
  const q = columns.length
  const centre = centring(values)
  const centred = columns.map(({ rows }) => centre(rows))
  const y = centre(values.map(({ value }) => value))
  const products = new Float64Array(q * q)
  const scores = new Float64Array(q)
  for (let i = 0; i < q; i++) {
    scores[i] = dot(centred[i] as number[], y)
    for (let j = 0; j <= i; j++) {
      const product = dot(centred[i] as number[], centred[j] as number[])
      products[i * q + j] = product
      products[j * q + i] = product
    }
  }
  const squares = dot(y, y)
  const df = values.length - builds
  if (!(squares > 0)) return null
  const kindOf = columns.map(({ kind }) => kind)
  const at = (ratios: Float64Array) => criterion(ratios, { products, scores, squares, df, kindOf })
  // Searched by the logarithms of the ratios, of which the deviance is close to convex.
  const curvature = new Float64Array(kinds.length ** 2)
  for (const [k, { names }] of kinds.entries()) curvature[k * (kinds.length + 1)] = names.length / 2
  const found = boundedMinimum(
    (logs) => {
      const ratios = logs.map(Math.exp)
      const { value, gradient } = at(ratios)
      return { value, gradient: gradient.map((slope, k) => slope * (ratios[k] as number)) }
    },
    new Float64Array(kinds.length).fill(Math.log(0.05)),
    new Float64Array(kinds.length).fill(Math.log(LEAST)),
    1e-12,
    curvature,
  )
  const ratios = found.x.map(Math.exp).map((ratio) => (ratio > 2 * LEAST ? ratio : 0))
  const { residual, left, doubt } = at(ratios)
  let column = 0
  return {
    components: kinds.map(({ kind, names }, k) => {
      const ratio = ratios[k] as number
      return {
        kind,
        variance: ratio * residual,
        effects: names.map((place) => {
          const c = column++
          const variance = residual * ratio * Math.max(0, 1 - ratio * (doubt[c] as number))
          return {
            place,
            parts: (columns[c] as { rows: number[] }).rows.reduce((sum, one) => sum + one, 0),
            value: ratio * (left[c] as number),
            standardError: Math.sqrt(variance),
          }
        }),
      }
    }),
    residual,
    parts: values.length,
    builds,
  }
}

interface Sums {
  /** ZᵀMZ, Zᵀ M y and yᵀ M y, M taking out the means of builds. */
  readonly products: Float64Array
  readonly scores: Float64Array
  readonly squares: number
  readonly df: number
  readonly kindOf: readonly number[]
}

/** Minus twice the restricted log-likelihood at given ratios of variances to that of parts, which is profiled out. */
function criterion(ratios: Float64Array, { products, scores, squares, df, kindOf }: Sums) {
  const q = scores.length
  const scale = kindOf.map((k) => Math.sqrt(ratios[k] as number))
  const matrix = new Float64Array(q * q)
  for (let i = 0; i < q; i++)
    for (let j = 0; j < q; j++)
      matrix[i * q + j] =
        (i === j ? 1 : 0) + (scale[i] as number) * (scale[j] as number) * (products[i * q + j] as number)
  const lower = cholesky(matrix, q) as Float64Array
  let logDeterminant = 0
  for (let i = 0; i < q; i++) logDeterminant += 2 * Math.log(lower[i * q + i] as number)
  const solution = scores.map((s, i) => s * (scale[i] as number))
  solveFactored(lower, solution)
  // Zᵀ P y, and the diagonal of Zᵀ P Z, P being the inverse of the covariance with builds taken out.
  const left = scores.map((s, i) => {
    let sum = s
    for (let j = 0; j < q; j++)
      sum -= (products[i * q + j] as number) * (scale[j] as number) * (solution[j] as number)
    return sum
  })
  const doubt = scores.map((_, i) => {
    const half = Float64Array.from(scale, (s, j) => s * (products[j * q + i] as number))
    forwardSolve(lower, half)
    return (products[i * q + i] as number) - dot(half, half)
  })
  let rest = squares
  for (let i = 0; i < q; i++) rest -= (scores[i] as number) * (scale[i] as number) * (solution[i] as number)
  const gradient = new Float64Array(ratios.length)
  for (let i = 0; i < q; i++) {
    const k = kindOf[i] as number
    gradient[k] = (gradient[k] as number) + (doubt[i] as number) - (df * (left[i] as number) ** 2) / rest
  }
  return { value: df * Math.log(rest) + logDeterminant, gradient, residual: rest / df, left, doubt }
}

/** Takes the mean of each build's parts off. */
function centring(parts: readonly PartDeviation[]): (column: readonly number[]) => number[] {
  const rows = new Map<number, number[]>()
  for (const [i, { buildId }] of parts.entries()) {
    const known = rows.get(buildId)
    if (known === undefined) rows.set(buildId, [i])
    else known.push(i)
  }
  return (column) => {
    const result = [...column]
    for (const own of rows.values()) {
      const mean = own.reduce((sum, i) => sum + (column[i] as number), 0) / own.length
      for (const i of own) result[i] = (column[i] as number) - mean
    }
    return result
  }
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number)
  return sum
}

/** Places of one kind, and by part which of them it was at; null where that is not known. */
interface Places {
  readonly kind: PlaceKind
  readonly names: readonly PlaceName[]
  readonly of: readonly (number | null)[]
}

function planBoxes(parts: readonly PartDeviation[]): Places {
  const beds = parts.flatMap(({ bed }) => (bed === null ? [] : [bed]))
  const x = rangeOf(beds.map((bed) => bed.x))
  const y = rangeOf(beds.map((bed) => bed.y))
  const step = Math.max(x[1] - x[0], y[1] - y[0]) / BOXES
  return places(
    'place in plan',
    parts.map(({ bed }) =>
      bed === null || !(step > 0) ? null : { x: boxOf(bed.x, x, step), y: boxOf(bed.y, y, step) },
    ),
  )
}

function layers(parts: readonly PartDeviation[]): Places {
  const z = rangeOf(parts.flatMap(({ bed }) => (bed === null ? [] : [bed.z])))
  const step = (z[1] - z[0]) / LAYERS
  return places(
    'height in bed',
    parts.map(({ bed }) => (bed === null || !(step > 0) ? null : { z: boxOf(bed.z, z, step) })),
  )
}

function trays(parts: readonly PartDeviation[]): Places {
  return places(
    'tray',
    parts.map(({ tray }) => (tray === null ? null : { tray })),
  )
}

function places(kind: PlaceKind, of: readonly (PlaceName | null)[]): Places {
  const known = new Map<string, { readonly name: PlaceName; readonly index: number }>()
  const index = of.map((name) => {
    if (name === null) return null
    const key = JSON.stringify(name)
    const found = known.get(key) ?? { name, index: known.size }
    known.set(key, found)
    return found.index
  })
  return { kind, names: [...known.values()].map(({ name }) => name), of: index }
}

function rangeOf(values: readonly number[]): readonly [number, number] {
  return values.reduce<readonly [number, number]>(
    ([low, high], value) => [Math.min(low, value), Math.max(high, value)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  )
}

/** The box that a place lies in, the last one with its upper edge. */
function boxOf(
  value: number,
  [low, high]: readonly [number, number],
  step: number,
): readonly [number, number] {
  const count = Math.max(1, Math.ceil((high - low) / step - 1e-9))
  const box = Math.min(count - 1, Math.floor((value - low) / step))
  return [low + box * step, low + (box + 1) * step]
}
