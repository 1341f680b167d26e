import { EnvelopeMatrix } from './envelope-cholesky.ts'
import type { Unit } from './information.ts'

/** A kind of random effect: builds or furnace loads shift one coefficient. */
export interface EffectKind {
  readonly of: 'build' | 'load'
  /** Position of the coefficient. */
  readonly coefficient: number
}

/** An unknown of the mixed model equations. `kind` is null for the coefficients themselves. */
interface Unknown {
  readonly at: number
  readonly coefficient: number
  readonly kind: number | null
}

/** The criterion at given variances: value, derivatives, and the average information matrix. */
export interface Point {
  readonly variances: Float64Array
  readonly deviance: number
  readonly gradient: Float64Array
  readonly average: Float64Array
}

/**
 * Henderson's equations for crossed effects of builds and loads on the coefficients of each unit, with the criterion of
 * restricted maximum likelihood (C. R. Henderson, Biometrics 31 (1975), 423–447). Holds the solution at the variances
 * last asked for.
 */
export class MixedEquations {
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
