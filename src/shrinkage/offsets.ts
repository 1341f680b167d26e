import type { Axis } from '../domain/characteristic.ts'
import type { Observation } from './observations.ts'
import type { ShrinkageProblem } from './problem.ts'
import { invert } from './small-systems.ts'
import { AXES } from './terms.ts'

/** A coefficient of the model: the fraction of the green size that is left, or the offset in mm, along one axis. */
export interface Coefficient {
  readonly axis: Axis
  readonly quantity: 'kept' | 'offset'
}

/**
 * An offset is fitted only where it swells its own variance, and with it that of the shrinkage, less than this: sizes
 * within ±10 % of one another swell both about a hundredfold.
 */
const MOST_INFLATION = 100

/** Entry of the design matrix. */
export function designEntry(o: Observation, { axis, quantity }: Coefficient): number {
  if (quantity === 'offset') return o.terms.weights[axis] * o.sense
  return o.isGreen ? 0 : o.green[axis]
}

/** What a set of observations holds for telling coefficients: summed over units, it holds for groups of them. */
export interface Design {
  /** Sums of products of the design's columns, every cell counted once: p × p, its lower triangle. */
  readonly products: Float64Array
  /** Axes with a characteristic of their own: a diameter alone does not tell X from Y. */
  readonly own: ReadonlySet<Axis>
}

export function designOf(observations: readonly Observation[], coefficients: readonly Coefficient[]): Design {
  const p = coefficients.length
  const products = new Float64Array(p * p)
  const own = new Set<Axis>()
  const row = new Float64Array(p)
  for (const o of observations) {
    const { weights } = o.terms
    if (!o.isGreen) for (const axis of AXES) if (weights[axis] > 0.5) own.add(axis)
    for (let i = 0; i < p; i++) row[i] = designEntry(o, coefficients[i] as Coefficient)
    for (let i = 0; i < p; i++) {
      const entry = row[i] as number
      if (entry === 0) continue
      for (let j = 0; j <= i; j++)
        products[i * p + j] = (products[i * p + j] as number) + entry * (row[j] as number)
    }
  }
  return { products, own }
}

export function joinDesigns(designs: readonly Design[]): Design {
  const [first] = designs
  if (first === undefined) return { products: new Float64Array(0), own: new Set() }
  if (designs.length === 1) return first
  const products = first.products.slice()
  const own = new Set(first.own)
  for (const design of designs.slice(1)) {
    for (let i = 0; i < products.length; i++)
      products[i] = (products[i] as number) + (design.products[i] as number)
    for (const axis of design.own) own.add(axis)
  }
  return { products, own }
}

/**
 * By how much the variance of each coefficient is swollen by those told before it: its variance inflation factor. Null
 * where nothing depends on it; infinite or beyond `MOST_INFLATION` where it is not told. Fractions kept come first,
 * then offsets one after another, each beside those that are told.
 *
 * Source: N. R. Draper and H. Smith, Applied Regression Analysis (1998), section 16.4, without a mean taken off.
 */
function inflations({ products, own }: Design, coefficients: readonly Coefficient[]): (number | null)[] {
  const p = coefficients.length
  const product = (i: number, j: number) => products[i >= j ? i * p + j : j * p + i] as number
  const result = new Array<number | null>(p).fill(null)
  const told: number[] = []
  for (const quantity of ['kept', 'offset'] as const) {
    for (const [i, coefficient] of coefficients.entries()) {
      if (coefficient.quantity !== quantity || product(i, i) === 0) continue
      const tried = [...told, i]
      const size = tried.length
      const matrix = new Float64Array(size * size)
      for (let r = 0; r < size; r++)
        for (let c = 0; c <= r; c++) matrix[r * size + c] = product(tried[r] as number, tried[c] as number)
      const inverse = invert(matrix, size)
      const inflation =
        inverse === null ? Number.POSITIVE_INFINITY : (inverse.at(-1) as number) * product(i, i)
      result[i] = inflation
      if ((quantity === 'offset' || own.has(coefficient.axis)) && inflation < MOST_INFLATION) told.push(i)
    }
  }
  return result
}

/** Which of the coefficients a design tells by itself. */
export function toldBy(design: Design, coefficients: readonly Coefficient[]): boolean[] {
  return inflations(design, coefficients).map(
    (inflation, i) =>
      inflation !== null &&
      inflation < MOST_INFLATION &&
      design.own.has((coefficients[i] as Coefficient).axis),
  )
}

/** The coefficients that the record can tell, axis by axis, and what it cannot. */
export function chooseCoefficients(observations: readonly Observation[]): {
  readonly coefficients: Coefficient[]
  readonly problems: ShrinkageProblem[]
} {
  const problems: ShrinkageProblem[] = []
  const { own } = designOf(observations, [])
  const axes = AXES.filter((axis) => own.has(axis))
  for (const axis of AXES) if (!axes.includes(axis)) problems.push({ kind: 'no-values', axis })
  const all = axes.flatMap((axis): Coefficient[] => [
    { axis, quantity: 'kept' },
    { axis, quantity: 'offset' },
  ])
  const usable = observations.filter((o) =>
    AXES.every((axis) => o.terms.weights[axis] === 0 || axes.includes(axis)),
  )
  const found = inflations(designOf(usable, all), all)
  const coefficients = all.filter((coefficient, i) => {
    if (coefficient.quantity === 'kept') return true
    const inflation = found[i] ?? null
    if (inflation !== null && inflation < MOST_INFLATION) return true
    problems.push(offsetProblem(usable, coefficient.axis, inflation))
    return false
  })
  return { coefficients, problems }
}

function offsetProblem(
  observations: readonly Observation[],
  axis: Axis,
  inflation: number | null,
): ShrinkageProblem {
  if (inflation === null) return { kind: 'no-offset-acts', axis }
  const own = new Set(
    observations.filter((o) => o.terms.weights[axis] > 0.5).map((o) => o.terms.characteristic.id),
  )
  const [only] = own
  return own.size === 1 && only !== undefined
    ? { kind: 'one-characteristic', axis, characteristicId: only }
    : { kind: 'sizes-too-alike', axis, inflation }
}
