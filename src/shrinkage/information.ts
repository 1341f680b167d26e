import type { Axis } from '../domain/characteristic.ts'
import { cholesky } from '../numbers/cholesky.ts'
import type { Observation } from './observations.ts'
import { median, perAxis } from './observations.ts'
import type { Coefficient } from './offsets.ts'
import { type PartScatter, widening } from './part-scatter.ts'
import { forwardSolve, solveFactored } from './small-systems.ts'
import { AXES, millimetres, type PerAxis } from './terms.ts'

/**
 * What the parts of one build in one furnace load tell about the p coefficients: A = XᵀR⁻¹X and c = XᵀR⁻¹y, where y
 * are the cell means less what `guess` makes of them, and R is their covariance from the scatter of parts. Nothing
 * else of the measurements enters the fit, so that its cost grows with builds alone.
 */
export interface Unit {
  readonly build: number
  readonly load: number | null
  /** p × p, row-major. */
  readonly information: Float64Array
  readonly score: Float64Array
  readonly observations: readonly Observation[]
}

/** Fraction of the green size left along each axis, as a first guess that the fit starts from. */
export type Guess = PerAxis<number>

export function guessKept(observations: readonly Observation[]): Guess {
  const ratios = (axis: Axis | null) =>
    observations
      .filter((o) => !o.isGreen && (axis === null || o.terms.weights[axis] > 0.5))
      .map((o) => o.mean / (o.green.X + o.green.Y + o.green.Z))
  const all = median(ratios(null)) ?? 1
  return perAxis((axis) => median(ratios(axis)) ?? all)
}

/**
 * Row of the design matrix, and the observation as a deviation from the guess. A green mean less nominal × factor shows
 * the binder's bleed alone; times the fraction kept it is the offset of the sintered part.
 */
export function equation(
  o: Observation,
  coefficients: readonly Coefficient[],
  guess: Guess,
): { readonly row: Float64Array; readonly y: number } {
  const row = Float64Array.from(coefficients, ({ axis, quantity }) =>
    quantity === 'offset' ? o.terms.weights[axis] * o.sense : o.isGreen ? 0 : o.green[axis],
  )
  let expected = 0
  let kept = 0
  for (const axis of AXES) {
    expected += o.green[axis] * (o.isGreen ? 1 : guess[axis])
    kept += o.terms.weights[axis] * guess[axis]
  }
  return { row, y: o.isGreen ? kept * (o.mean - expected) : o.mean - expected }
}

/** Groups observations by build and furnace load, in the order of the timeline. */
export function unitsOf(
  observations: readonly Observation[],
  coefficients: readonly Coefficient[],
  guess: Guess,
  scatter: PartScatter,
): Unit[] {
  const grouped = new Map<string, Observation[]>()
  for (const o of observations) {
    const key = `${o.build} ${o.load}`
    const known = grouped.get(key)
    if (known === undefined) grouped.set(key, [o])
    else known.push(o)
  }
  return [...grouped.values()]
    .sort((a, b) => (a[0] as Observation).build - (b[0] as Observation).build)
    .map((own) => unitOf(own, coefficients, guess, scatter))
}

function unitOf(
  observations: readonly Observation[],
  coefficients: readonly Coefficient[],
  guess: Guess,
  scatter: PartScatter,
): Unit {
  const p = coefficients.length
  const information = new Float64Array(p * p)
  const score = new Float64Array(p)
  const wider = widening(observations, scatter)
  for (const group of new Set(observations.map((o) => o.terms.partGroup))) {
    const own = observations.filter((o) => o.terms.partGroup === group)
    const lower = cholesky(covariance(own, scatter, wider, guess), own.length) as Float64Array
    const equations = own.map((o) => equation(o, coefficients, guess))
    const columns = coefficients.map((_, j) => Float64Array.from(equations, ({ row }) => row[j] as number))
    const y = Float64Array.from(equations, (e) => e.y)
    forwardSolve(lower, y)
    for (const column of columns) forwardSolve(lower, column)
    for (let i = 0; i < p; i++) {
      score[i] = (score[i] as number) + dot(columns[i] as Float64Array, y)
      for (let j = 0; j <= i; j++) {
        const value = dot(columns[i] as Float64Array, columns[j] as Float64Array)
        information[i * p + j] = (information[i * p + j] as number) + value
        if (j < i) information[j * p + i] = (information[j * p + i] as number) + value
      }
    }
  }
  const { build, load } = observations[0] as Observation
  return { build, load, information, score, observations }
}

/**
 * Of what a green part and the sintered one have in common beside scale, half is taken to be its surface, which both
 * means hold, and half the gauge, which they do not: cells do not say which part was measured in both stages.
 */
const SHARED_SURFACE = 0.5

/**
 * Covariance of cell means, mm². Characteristics of one part share its relative change along an axis. Where two cells
 * hold different numbers of parts, the fewer are taken to be among the more, so that their means covary as the mean of
 * the more does with itself.
 */
function covariance(
  own: readonly Observation[],
  scatter: PartScatter,
  wider: number,
  guess: Guess,
): Float64Array {
  const size = own.length
  const matrix = new Float64Array(size * size)
  const loadings = own.map((o) => {
    const nominal = (o.terms.characteristic.nominal as number) * millimetres(o.terms.characteristic)
    return AXES.map((axis) =>
      o.isGreen ? 0 : o.terms.weights[axis] * nominal * Math.sqrt(scatter.relative[axis]),
    )
  })
  for (const [i, a] of own.entries()) {
    for (let j = 0; j <= i; j++) {
      const b = own[j] as Observation
      let shared = 0
      for (const axis of [0, 1, 2])
        shared += (loadings[i]?.[axis] as number) * (loadings[j]?.[axis] as number)
      let value = shared / Math.max(a.n, b.n)
      if (i === j) value += ownVariance(a, scatter, guess) / a.n
      else if (a.isGreen !== b.isGreen && a.terms === b.terms) {
        const least = Math.min(ownVariance(a, scatter, guess), ownVariance(b, scatter, guess))
        value += (SHARED_SURFACE * least) / Math.max(a.n, b.n)
      }
      matrix[i * size + j] = wider * value
    }
  }
  return matrix
}

function ownVariance(o: Observation, scatter: PartScatter, guess: Guess): number {
  const sintered = scatter.own.get(o.terms.characteristic.id) as number
  if (!o.isGreen) return sintered
  let kept = 0
  for (const axis of AXES) kept += o.terms.weights[axis] * guess[axis]
  return scatter.green === null || scatter.green === 0 ? sintered : kept * kept * scatter.green
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number)
  return sum
}

/**
 * Scatter where no cell holds two parts: from how far the characteristics of a build lie from the build's own line,
 * all of it taken as not shared. Null where no build has more characteristics than coefficients.
 */
export function scatterFromLines(
  observations: readonly Observation[],
  coefficients: readonly Coefficient[],
  guess: Guess,
): PartScatter | null {
  const own = new Map(observations.map((o) => [o.terms.characteristic.id, 1]))
  const flat = { relative: { X: 0, Y: 0, Z: 0 }, own, green: null, df: 1 }
  let squares = 0
  let df = 0
  for (const unit of unitsOf(observations, coefficients, guess, flat)) {
    const used = coefficients
      .map((_, i) => i)
      .filter((i) => (unit.information[i * coefficients.length + i] as number) > 0)
    const size = used.length
    const matrix = Float64Array.from(
      used.flatMap((i) => used.map((j) => unit.information[i * coefficients.length + j] as number)),
    )
    const lower = cholesky(matrix, size)
    if (lower === null) continue
    const solution = Float64Array.from(used, (i) => unit.score[i] as number)
    solveFactored(lower, solution)
    const sintered = unit.observations.filter((o) => !o.isGreen)
    for (const o of sintered) {
      const { row, y } = equation(o, coefficients, guess)
      squares +=
        used.reduce((rest, i, r) => rest - (row[i] as number) * (solution[r] as number), y) ** 2 * o.n
    }
    df += Math.max(0, sintered.length - size)
  }
  if (df === 0 || squares === 0) return null
  return { ...flat, own: new Map([...own.keys()].map((id) => [id, squares / df])), df }
}
