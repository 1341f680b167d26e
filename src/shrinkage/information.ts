import type { Axis } from '../domain/characteristic.ts'
import { cholesky } from '../numbers/cholesky.ts'
import type { Observation } from './observations.ts'
import { median, perAxis } from './observations.ts'
import { type Coefficient, type Design, designEntry, designOf } from './offsets.ts'
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
  readonly design: Design
  readonly observations: readonly Observation[]
}

/** Fraction of the green size left along each axis, as a first guess that the fit starts from. */
export type Guess = PerAxis<number>

export function guessKept(observations: readonly Observation[]): Guess {
  const ratios: number[] = []
  const own: Record<Axis, number[]> = { X: [], Y: [], Z: [] }
  for (const o of observations) {
    if (o.isGreen) continue
    const ratio = o.mean / (o.green.X + o.green.Y + o.green.Z)
    ratios.push(ratio)
    for (const axis of AXES) if (o.terms.weights[axis] > 0.5) own[axis].push(ratio)
  }
  const all = median(ratios) ?? 1
  return perAxis((axis) => median(own[axis]) ?? all)
}

/**
 * The observation as a deviation from the guess. A green mean less nominal × factor shows the binder's bleed alone;
 * times the fraction kept it is the offset of the sintered part.
 */
function response(o: Observation, guess: Guess): number {
  const { green } = o
  if (!o.isGreen) return o.mean - green.X * guess.X - green.Y * guess.Y - green.Z * guess.Z
  return keptOf(o, guess) * (o.mean - green.X - green.Y - green.Z)
}

function keptOf({ terms: { weights } }: Observation, guess: Guess): number {
  return weights.X * guess.X + weights.Y * guess.Y + weights.Z * guess.Z
}

/** What coefficients, as deviations from the guess, leave unexplained of an observation, mm. */
function residualOf(
  o: Observation,
  coefficients: readonly Coefficient[],
  values: ArrayLike<number>,
  guess: Guess,
): number {
  let rest = response(o, guess)
  for (const [i, coefficient] of coefficients.entries())
    rest -= designEntry(o, coefficient) * (values[i] as number)
  return rest
}

/** Groups observations by build and furnace load, in the order of the timeline. */
export function unitsOf(
  observations: readonly Observation[],
  coefficients: readonly Coefficient[],
  guess: Guess,
  scatter: PartScatter,
): Unit[] {
  const builds = new Map<number, Map<number | null, Observation[]>>()
  for (const o of observations) {
    let loads = builds.get(o.build)
    if (loads === undefined) {
      loads = new Map()
      builds.set(o.build, loads)
    }
    const known = loads.get(o.load)
    if (known === undefined) loads.set(o.load, [o])
    else known.push(o)
  }
  return [...builds.values()]
    .flatMap((loads) => [...loads.values()])
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
  const groups = new Map<number, Observation[]>()
  for (const o of observations) {
    const known = groups.get(o.terms.partGroup)
    if (known === undefined) groups.set(o.terms.partGroup, [o])
    else known.push(o)
  }
  for (const own of groups.values()) {
    const lower = cholesky(covariance(own, scatter, wider, guess), own.length) as Float64Array
    const columns = coefficients.map((coefficient) => {
      const column = new Float64Array(own.length)
      for (const [i, o] of own.entries()) column[i] = designEntry(o, coefficient)
      return column
    })
    const y = new Float64Array(own.length)
    for (const [i, o] of own.entries()) y[i] = response(o, guess)
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
  return { build, load, information, score, design: designOf(observations, coefficients), observations }
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
  const loadings = new Float64Array(3 * size)
  const single = new Float64Array(size)
  for (const [i, o] of own.entries()) {
    const { characteristic, weights } = o.terms
    const nominal = (characteristic.nominal as number) * millimetres(characteristic)
    single[i] = ownVariance(o, scatter, guess)
    if (o.isGreen) continue
    for (const [a, axis] of AXES.entries())
      loadings[3 * i + a] = weights[axis] * nominal * Math.sqrt(scatter.relative[axis])
  }
  for (let i = 0; i < size; i++) {
    const one = own[i] as Observation
    for (let j = 0; j <= i; j++) {
      const other = own[j] as Observation
      let shared = 0
      for (let a = 0; a < 3; a++) shared += (loadings[3 * i + a] as number) * (loadings[3 * j + a] as number)
      if (i === j) shared += single[i] as number
      else if (one.isGreen !== other.isGreen && one.terms === other.terms)
        shared += SHARED_SURFACE * Math.min(single[i] as number, single[j] as number)
      matrix[i * size + j] = (wider * shared) / Math.max(one.n, other.n)
    }
  }
  return matrix
}

function ownVariance(o: Observation, scatter: PartScatter, guess: Guess): number {
  const sintered = scatter.own.get(o.terms.characteristic.id) as number
  if (!o.isGreen) return sintered
  const kept = keptOf(o, guess)
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
    const values = new Float64Array(coefficients.length)
    for (const [r, i] of used.entries()) values[i] = solution[r] as number
    const sintered = unit.observations.filter((o) => !o.isGreen)
    for (const o of sintered) squares += residualOf(o, coefficients, values, guess) ** 2 * o.n
    df += Math.max(0, sintered.length - size)
  }
  if (df === 0 || squares === 0) return null
  return { ...flat, own: new Map([...own.keys()].map((id) => [id, squares / df])), df }
}
