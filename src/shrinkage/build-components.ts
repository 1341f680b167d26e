import { ConvergenceError } from '../errors.ts'
import { cholesky } from '../numbers/cholesky.ts'
import { EnvelopeMatrix } from './envelope-cholesky.ts'
import type { Unit } from './information.ts'
import type { Coefficient } from './offsets.ts'
import { solveFactored } from './small-systems.ts'

/** A kind of random effect: builds or furnace loads shift one coefficient. */
export interface EffectKind {
  readonly of: 'build' | 'load'
  /** Position of the coefficient. */
  readonly coefficient: number
}

/** Variances between builds and loads, and the coefficients of the process behind them. */
export interface Components {
  readonly kinds: readonly EffectKind[]
  /** By kind, in squared units of its coefficient. */
  readonly variances: Float64Array
  /** Generalised least squares estimates, p. */
  readonly coefficients: Float64Array
  /** Their covariance, p × p. */
  readonly covariance: Float64Array
  /** Minus twice the restricted log-likelihood, but for a constant. */
  readonly deviance: number
}

/** The whole record: components where builds can be compared, plain least squares of the one build otherwise. */
export interface Whole extends Components {
  readonly builds: number
  readonly loads: number
}

/** An unknown of the mixed model equations. `kind` is null for the coefficients themselves. */
interface Unknown {
  readonly at: number
  readonly coefficient: number
  readonly kind: number | null
}

const MOST_ROUNDS = 100
/** A slope of the deviance by the logarithm of a variance that counts as none. */
const FLAT = 1e-9
/** No step makes a variance larger than this many times. */
const MOST_GROWTH = 30

/**
 * Restricted maximum likelihood of a model with crossed build and load effects on the coefficients, from what each
 * unit (build within load) tells of them:
 *
 *   coefficients of a unit = β + effects of its build + effects of its load
 *
 * Henderson's mixed model equations, each random effect divided by its standard deviation so that they stay regular
 * down to no variance, solved along their envelope; Newton steps with the average information matrix, and expectation
 * maximisation where such a step does not lead down.
 *
 * Sources: C. R. Henderson, Biometrics 31 (1975), 423–447; A. R. Gilmour, R. Thompson and B. R. Cullis, Average
 * information REML, Biometrics 51 (1995), 1440–1450.
 *
 * @param units in the order of builds
 * @param start variances to start from, above zero, by kind
 * @param least variances that count as none, above zero, by kind
 * @throws ConvergenceError where a hundred steps do not suffice, or the coefficients cannot be told apart
 */
export function fitComponents(
  units: readonly Unit[],
  coefficients: readonly Coefficient[],
  kinds: readonly EffectKind[],
  start: Float64Array,
  least: Float64Array,
): Components {
  const equations = new MixedEquations(units, coefficients.length, kinds)
  let here = equations.at(start)
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { variances, gradient } = here
    // A variance that nothing depends on stays where it is.
    const free = kinds
      .map((_, t) => t)
      .filter((t) => {
        const slope = (gradient[t] as number) * (variances[t] as number)
        return slope < -FLAT || (slope > FLAT && (variances[t] as number) > (least[t] as number))
      })
    const step = newtonStep(here, free, least)
    const slopeAt = (point: Point) =>
      free.reduce((sum, t) => sum + (point.gradient[t] as number) * (step[t] as number), 0)
    const slope = slopeAt(here)
    if (Math.abs(slope) < 1e-10) return finish(equations, here, kinds, least)
    let next: Point | null = null
    for (let length = 1; length > 1e-3 && slope < 0; length /= 2) {
      const tried = equations.at(moved(variances, step, length, least))
      const lower = here.deviance - tried.deviance
      // Close to the end values differ by no more than rounding; there the slope along the step decides.
      const rounding = 1e-10 * Math.max(1, Math.abs(here.deviance))
      const flatter = Math.abs(slopeAt(tried)) < 0.9 * -slope
      if (lower > -0.1 * length * slope || (lower > -rounding && flatter)) {
        next = tried
        break
      }
    }
    here = next ?? equations.at(moved(variances, emStep(here, equations.groups), 1, least))
  }
  throw new ConvergenceError(`variance components of builds and loads: ${MOST_ROUNDS} steps`)
}

function finish(
  equations: MixedEquations,
  point: Point,
  kinds: readonly EffectKind[],
  least: Float64Array,
): Components {
  const { fixed, covariance } = equations.fixedPart()
  return {
    kinds,
    variances: point.variances.map((v, t) => (v > (least[t] as number) ? v : 0)),
    coefficients: fixed,
    covariance,
    deviance: point.deviance,
  }
}

function moved(from: Float64Array, step: Float64Array, length: number, least: Float64Array): Float64Array {
  return from.map((v, t) =>
    Math.min(MOST_GROWTH * v, Math.max(least[t] as number, v + length * (step[t] as number))),
  )
}

/**
 * Least point of the quadratic approximation: variances that it would take below their least go there, and the others
 * follow them.
 */
function newtonStep(
  { variances, gradient, average }: Point,
  free: readonly number[],
  least: Float64Array,
): Float64Array {
  const width = gradient.length
  const step = new Float64Array(width)
  let open = free
  for (;;) {
    const bound = free.filter((t) => !open.includes(t))
    const solution = Float64Array.from(open, (t) =>
      bound.reduce(
        (sum, s) => sum - (average[t * width + s] as number) * (step[s] as number),
        -(gradient[t] as number),
      ),
    )
    const lower = cholesky(
      Float64Array.from(open.flatMap((t) => open.map((s) => average[t * width + s] as number))),
      open.length,
    )
    if (lower !== null) solveFactored(lower, solution)
    else
      for (const [r, t] of open.entries())
        solution[r] = (solution[r] as number) / Math.max(average[t * width + t] as number, Number.MIN_VALUE)
    for (const [r, t] of open.entries()) step[t] = solution[r] as number
    const low = open.filter((t) => (variances[t] as number) + (step[t] as number) < (least[t] as number))
    if (low.length === 0) return step
    for (const t of low) step[t] = (least[t] as number) - (variances[t] as number)
    open = open.filter((t) => !low.includes(t))
  }
}

function emStep({ variances, gradient }: Point, groups: readonly number[]): Float64Array {
  return variances.map((v, t) => (-v * v * (gradient[t] as number)) / (groups[t] as number))
}

/** The criterion at given variances: value, derivatives, and the average information matrix. */
interface Point {
  readonly variances: Float64Array
  readonly deviance: number
  readonly gradient: Float64Array
  readonly average: Float64Array
}

class MixedEquations {
  /** Number of builds or loads by kind. */
  readonly groups: readonly number[]
  private readonly units: readonly Unit[]
  private readonly p: number
  private readonly kinds: readonly EffectKind[]
  private readonly unknowns: readonly (readonly Unknown[])[]
  private readonly kindOf: Int32Array
  private readonly matrix: EnvelopeMatrix
  private solution: Float64Array = new Float64Array(0)
  private readonly fixedAt: number

  constructor(units: readonly Unit[], p: number, kinds: readonly EffectKind[]) {
    this.units = units
    this.p = p
    this.kinds = kinds
    const groupOf = (unit: Unit, { of }: EffectKind) => (of === 'build' ? unit.build : unit.load)
    // A load's effects stand right behind the last build in it, which keeps the envelope narrow.
    const lastUse = new Map<string, number>()
    for (const [u, unit] of units.entries()) {
      lastUse.set(`build ${unit.build}`, lastUse.get(`build ${unit.build}`) ?? u)
      if (unit.load !== null) lastUse.set(`load ${unit.load}`, u)
    }
    const place = new Map<string, number>()
    const kindOf: number[] = []
    const groups = kinds.map(() => 0)
    const counted = [...lastUse].sort(([, a], [, b]) => a - b)
    for (const [group] of counted) {
      for (const [t, kind] of kinds.entries()) {
        if (!group.startsWith(kind.of)) continue
        place.set(`${group} ${t}`, kindOf.length)
        kindOf.push(t)
        groups[t] = (groups[t] as number) + 1
      }
    }
    this.fixedAt = kindOf.length
    for (let i = 0; i < p; i++) kindOf.push(-1)
    this.groups = groups
    this.kindOf = Int32Array.from(kindOf)
    this.unknowns = units.map((unit) => {
      const own: Unknown[] = []
      for (const [t, kind] of kinds.entries()) {
        const group = groupOf(unit, kind)
        if (group === null) continue
        own.push({
          at: place.get(`${kind.of} ${group} ${t}`) as number,
          coefficient: kind.coefficient,
          kind: t,
        })
      }
      for (let i = 0; i < p; i++) own.push({ at: this.fixedAt + i, coefficient: i, kind: null })
      return own
    })
    const first = Int32Array.from(kindOf, (_, i) => (i < this.fixedAt ? i : 0))
    for (const own of this.unknowns) {
      const from = Math.min(...own.map(({ at }) => at))
      for (const { at } of own) if (at < this.fixedAt && from < (first[at] as number)) first[at] = from
    }
    this.matrix = new EnvelopeMatrix(first)
  }

  at(variances: Float64Array): Point {
    const { units, p, kinds, matrix, kindOf, fixedAt } = this
    const scale = Float64Array.from(variances, Math.sqrt)
    const factor = (kind: number | null) => (kind === null ? 1 : (scale[kind] as number))
    matrix.clear()
    for (let i = 0; i < fixedAt; i++) matrix.add(i, i, 1)
    const right = new Float64Array(matrix.size)
    for (const [u, unit] of units.entries()) {
      const own = this.unknowns[u] as readonly Unknown[]
      for (let a = 0; a < own.length; a++) {
        const one = own[a] as Unknown
        const f = factor(one.kind)
        right[one.at] = (right[one.at] as number) + f * (unit.score[one.coefficient] as number)
        for (let b = 0; b <= a; b++) {
          const other = own[b] as Unknown
          const value = unit.information[one.coefficient * p + other.coefficient] as number
          matrix.add(one.at, other.at, f * factor(other.kind) * value)
        }
      }
    }
    let deviance = matrix.factorise()
    const solution = right.slice()
    matrix.solve(solution)
    for (let i = 0; i < solution.length; i++) deviance -= (right[i] as number) * (solution[i] as number)
    this.solution = solution

    // Zᵀ P y by group: what each unit's residuals still tell of its coefficients, summed.
    const residual = this.residualScores(scale)
    const score = new Float64Array(fixedAt)
    for (const [u, own] of this.unknowns.entries()) {
      for (const { at, coefficient, kind } of own)
        if (kind !== null)
          score[at] = (score[at] as number) + ((residual[u] as Float64Array)[coefficient] as number)
    }
    const inverse = matrix.inverse()
    const width = kinds.length
    const gradient = new Float64Array(width)
    for (let i = 0; i < fixedAt; i++) {
      const t = kindOf[i] as number
      const trace = (1 - inverse.at(i, i)) / (variances[t] as number)
      gradient[t] = (gradient[t] as number) + trace - (score[i] as number) ** 2
    }
    return { variances, deviance, gradient, average: this.averageInformation(scale, score) }
  }

  /** XᵀR⁻¹ (y − fitted values) of each unit, at the solution in hand. */
  private residualScores(scale: Float64Array): Float64Array[] {
    const { units, p, solution } = this
    const effect = new Float64Array(p)
    return units.map((unit, u) => {
      effect.fill(0)
      for (const { at, coefficient, kind } of this.unknowns[u] as readonly Unknown[]) {
        const f = kind === null ? 1 : (scale[kind] as number)
        effect[coefficient] = (effect[coefficient] as number) + f * (solution[at] as number)
      }
      return unit.score.map((value, i) => {
        let sum = value
        for (let j = 0; j < p; j++) sum -= (unit.information[i * p + j] as number) * (effect[j] as number)
        return sum
      })
    })
  }

  /** yᵀP V_t P V_s P y, by kinds t and s, V_t being the derivative of the covariance by variance t. */
  private averageInformation(scale: Float64Array, score: Float64Array): Float64Array {
    const { units, p, kinds, matrix } = this
    const width = kinds.length
    const average = new Float64Array(width * width)
    const rights = kinds.map(() => new Float64Array(matrix.size))
    for (const [u, unit] of units.entries()) {
      const own = this.unknowns[u] as readonly Unknown[]
      for (const one of own) {
        if (one.kind === null) continue
        const weight = score[one.at] as number
        const right = rights[one.kind] as Float64Array
        for (const other of own) {
          const value = unit.information[one.coefficient * p + other.coefficient] as number
          const f = other.kind === null ? 1 : (scale[other.kind] as number)
          right[other.at] = (right[other.at] as number) + f * value * weight
          if (other.kind !== null) {
            const at = one.kind * width + other.kind
            average[at] = (average[at] as number) + value * weight * (score[other.at] as number)
          }
        }
      }
    }
    for (const [t, right] of rights.entries()) {
      const solved = right.slice()
      matrix.solve(solved)
      for (const [s, other] of rights.entries()) {
        let sum = 0
        for (let i = 0; i < solved.length; i++) sum += (solved[i] as number) * (other[i] as number)
        average[t * width + s] = (average[t * width + s] as number) - sum
      }
    }
    return average
  }

  /** Coefficients and their covariance, at the solution in hand. */
  fixedPart(): { fixed: Float64Array; covariance: Float64Array } {
    const { p, fixedAt, matrix, solution } = this
    const covariance = new Float64Array(p * p)
    for (let j = 0; j < p; j++) {
      const column = new Float64Array(matrix.size)
      column[fixedAt + j] = 1
      matrix.solve(column)
      for (let i = 0; i < p; i++) covariance[i * p + j] = column[fixedAt + i] as number
    }
    return { fixed: solution.slice(fixedAt), covariance }
  }
}
