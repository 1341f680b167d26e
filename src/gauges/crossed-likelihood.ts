import { momentsOf, variance } from '../description/moments.ts'
import { ArgumentError } from '../errors.ts'
import { cholesky } from '../numbers/cholesky.ts'
import { inverseFromFactor } from '../numbers/inverse-from-factor.ts'
import { estimateDf } from './estimate-df.ts'
import type { StudyTable } from './readings.ts'

/** Minus twice a restricted log-likelihood, with its derivatives by the variances. */
export interface Deviance {
  readonly value: number
  readonly gradient: Float64Array
}

/** A restricted likelihood of variance components. */
export interface ComponentLikelihood {
  /** @param variances one for each component, not negative; the last, that of repeated readings, above 0 */
  readonly deviance: (variances: Float64Array) => Deviance
  /** Degrees of freedom of the estimate of a weighted sum of the variances, by its skewness; see `estimateDf`. */
  readonly df: (variances: Float64Array, weights: readonly number[]) => number | null
  /** For each component a variance of the size that the readings could just show; above 0. */
  readonly units: Float64Array
  /**
   * First guess at the variances, to search from: the likelihood can have several maxima where one component is far
   * greater.
   */
  readonly start: Float64Array
}

/** More measured pairs than this take too long: the work grows with their third power, and 150 take some seconds. */
export const MOST_CELLS = 150

/**
 * Restricted likelihood of parts crossed with inspectors, any number of readings in any of the pairs. Variances are
 * those of part, inspector, interaction (where it can be told) and repeatability.
 *
 * The mean of a cell of n readings varies by the repeatability over n, and the scatter inside cells tells of
 * repeatability alone. Of the means' covariance only a matrix of parts and inspectors is factored (Searle, appendix M).
 *
 * Source: D. A. Harville, Journal of the American Statistical Association 72 (1977), 320–338; S. R. Searle, G. Casella
 * and C. E. McCulloch, Variance Components (1992), section 6.6.
 *
 * @throws ArgumentError where more than 150 pairs were measured
 */
export function crossedLikelihood(table: StudyTable, interaction: boolean): ComponentLikelihood {
  const { cells, n } = table
  const c = cells.length
  if (c > MOST_CELLS) {
    throw new ArgumentError(
      'readings',
      `${c} pairs of part and inspector; unbalanced studies go up to ${MOST_CELLS}`,
    )
  }
  const origin = cells[0]?.moments.mean ?? 0
  const y = Float64Array.from(cells, ({ moments }) => moments.mean - origin)
  const size = Float64Array.from(cells, ({ moments }) => moments.n)
  const within = cells.reduce((sum, { moments }) => sum + moments.m2, 0)
  const logSizes = cells.reduce((sum, { moments }) => sum + Math.log(moments.n), 0)
  const part = Int32Array.from(cells, (cell) => cell.part)
  // Inspectors stand behind the parts among the q effects.
  const inspector = Int32Array.from(cells, (cell) => table.parts.length + cell.inspector)
  const q = table.parts.length + table.inspectors.length

  /** Sums over cells by part and by inspector. */
  const summed = (x: Float64Array): Float64Array => {
    const sums = new Float64Array(q)
    for (let a = 0; a < c; a++) {
      const [i, j, value] = [part[a] as number, inspector[a] as number, x[a] as number]
      sums[i] = (sums[i] as number) + value
      sums[j] = (sums[j] as number) + value
    }
    return sums
  }

  const deviance = (variances: Float64Array): Deviance => {
    const nowhere = { value: Number.POSITIVE_INFINITY, gradient: new Float64Array(variances.length) }
    const last = variances.length - 1
    const residual = variances[last] as number
    const between = interaction ? (variances[2] as number) : 0
    // V = R + Z D Zᵀ with R diagonal: W is the inverse of R, K stands for D (I + Zᵀ W Z D)⁻¹, and V⁻¹ = W − W Z K Zᵀ W.
    const w = size.map((readings) => 1 / (between + residual / readings))
    const root = Float64Array.from({ length: q }, (_, k) =>
      Math.sqrt(variances[k < table.parts.length ? 0 : 1] as number),
    )
    const normal = new Float64Array(q * q)
    for (let a = 0; a < c; a++) {
      const [i, j, weight] = [part[a] as number, inspector[a] as number, w[a] as number]
      normal[i * q + i] = (normal[i * q + i] as number) + weight
      normal[j * q + j] = (normal[j * q + j] as number) + weight
      normal[i * q + j] = (normal[i * q + j] as number) + weight
      normal[j * q + i] = (normal[j * q + i] as number) + weight
    }
    const small = normal.map(
      (value, at) =>
        (at % (q + 1) === 0 ? 1 : 0) +
        (root[Math.floor(at / q)] as number) * value * (root[at % q] as number),
    )
    const lower = cholesky(small, q)
    if (lower === null) return nowhere
    const inverse = inverseFromFactor(lower, q)
    const kernel = inverse.map(
      (value, at) => (root[Math.floor(at / q)] as number) * value * (root[at % q] as number),
    )
    // Where an effect is large beside what is left, sums of what is left cancel: there they follow from the effect itself.
    const isLarge = (k: number) => (root[k] as number) ** 2 * (normal[k * q + k] as number) > 1
    /** V⁻¹ x, xᵀ V⁻¹ x as a sum of squares, and Zᵀ V⁻¹ x. */
    const solve = (x: Float64Array) => {
      const sums = summed(x.map((value, a) => value * (w[a] as number)))
      const score = new Float64Array(q)
      for (let i = 0; i < q; i++) {
        for (let j = 0; j < q; j++) {
          score[i] =
            (score[i] as number) + (inverse[i * q + j] as number) * (root[j] as number) * (sums[j] as number)
        }
      }
      const effect = score.map((value, k) => value * (root[k] as number))
      let square = score.reduce((sum, value) => sum + value ** 2, 0)
      const solved = x.map((value, a) => {
        const left =
          value - (effect[part[a] as number] as number) - (effect[inspector[a] as number] as number)
        square += (w[a] as number) * left ** 2
        return (w[a] as number) * left
      })
      const own = summed(solved)
      return {
        solved,
        square,
        sums: own.map((sum, k) => (isLarge(k) ? (score[k] as number) / (root[k] as number) : sum)),
      }
    }
    const { solved: rows, square: information, sums: rowSums } = solve(new Float64Array(c).fill(1))
    const mean = rows.reduce((sum, row, a) => sum + row * (y[a] as number), 0) / information
    // V⁻¹ (y − mean)
    const { solved: pull, square, sums: pullSums } = solve(y.map((value) => value - mean))
    let value =
      (n - 1) * Math.log(2 * Math.PI) +
      logSizes +
      (n - c) * Math.log(residual) +
      within / residual +
      Math.log(information) +
      square
    for (let a = 0; a < c; a++) value -= Math.log(w[a] as number)
    for (let k = 0; k < q; k++) value += 2 * Math.log(lower[k * q + k] as number)

    const gradient = new Float64Array(variances.length)
    // Zᵀ V⁻¹ Z = A − A K A with A = Zᵀ W Z; of it the diagonal is asked for.
    const diagonal = new Float64Array(q)
    for (let i = 0; i < q; i++) {
      if (isLarge(i)) {
        diagonal[i] = (1 - (inverse[i * q + i] as number)) / (root[i] as number) ** 2
        continue
      }
      diagonal[i] = normal[i * q + i] as number
      for (let k = 0; k < q; k++) {
        const first = normal[i * q + k] as number
        if (first === 0) continue
        let sum = 0
        for (let l = 0; l < q; l++) sum += (kernel[k * q + l] as number) * (normal[l * q + i] as number)
        diagonal[i] = (diagonal[i] as number) - first * sum
      }
    }
    for (let k = 0; k < q; k++) {
      const of = k < table.parts.length ? 0 : 1
      gradient[of] =
        (gradient[of] as number) +
        (diagonal[k] as number) -
        (rowSums[k] as number) ** 2 / information -
        (pullSums[k] as number) ** 2
    }
    for (let a = 0; a < c; a++) {
      const [i, j, weight] = [part[a] as number, inspector[a] as number, w[a] as number]
      const inner =
        (kernel[i * q + i] as number) + (kernel[j * q + j] as number) + 2 * (kernel[i * q + j] as number)
      const slope =
        weight - weight ** 2 * inner - (rows[a] as number) ** 2 / information - (pull[a] as number) ** 2
      if (interaction) gradient[2] = (gradient[2] as number) + slope
      gradient[last] = (gradient[last] as number) + slope / (size[a] as number)
    }
    gradient[last] = (gradient[last] as number) + (n - c) / residual - within / residual ** 2
    return { value, gradient }
  }
  const groups = [
    cells.map(({ part }) => part),
    cells.map(({ inspector }) => inspector),
    ...(interaction ? [cells.map((_, i) => i)] : []),
  ]
  const df = (variances: Float64Array, weights: readonly number[]) =>
    estimateDf(groups, size, n, variances, weights)
  return { deviance, df, ...firstGuess(table, y, within, interaction) }
}

/** Sweeps of the additive fit; it need not be exact. */
const SWEEPS = 30

/** Variances by moments, from an additive fit of parts and inspectors to the means of the cells. */
function firstGuess(
  { cells, parts, inspectors, n }: StudyTable,
  y: Float64Array,
  within: number,
  interaction: boolean,
): Pick<ComponentLikelihood, 'units' | 'start'> {
  const c = cells.length
  const residual = Float64Array.from(y)
  const effects = { part: new Float64Array(parts.length), inspector: new Float64Array(inspectors.length) }
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (const of of ['part', 'inspector'] as const) {
      const sums = new Float64Array(effects[of].length)
      const counts = new Float64Array(effects[of].length)
      for (const [i, cell] of cells.entries()) {
        sums[cell[of]] = (sums[cell[of]] as number) + (residual[i] as number)
        counts[cell[of]] = (counts[cell[of]] as number) + 1
      }
      const means = sums.map((sum, k) => sum / (counts[k] as number))
      for (const [k, mean] of means.entries()) effects[of][k] = (effects[of][k] as number) + mean
      for (const [i, cell] of cells.entries())
        residual[i] = (residual[i] as number) - (means[cell[of]] as number)
    }
  }
  const df = Math.max(1, c - parts.length - inspectors.length + 1)
  const left = residual.reduce((sum, r) => sum + r * r, 0) / df
  const each = cells.reduce((sum, { moments }) => sum + 1 / moments.n, 0) / c
  const error = n > c ? within / (n - c) : left
  const part = variance(momentsOf(effects.part)) ?? error
  const inspector = variance(momentsOf(effects.inspector)) ?? error
  const between = Math.max(0, left - error * each)
  return {
    units: Float64Array.of(
      (error * parts.length) / n,
      (error * inspectors.length) / n,
      ...(interaction ? [error * each] : []),
      error,
    ),
    start: Float64Array.of(part, inspector, ...(interaction ? [between] : []), error),
  }
}
