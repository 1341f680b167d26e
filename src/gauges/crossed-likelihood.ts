import { ArgumentError } from '../errors.ts'
import { cholesky } from '../numbers/cholesky.ts'
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
  /** For each component a variance of the size that the readings could show; above 0. */
  readonly units: Float64Array
}

/** More measured pairs than this take the full matrices too long. */
const MOST_CELLS = 600

/**
 * Restricted likelihood of parts crossed with inspectors, any number of readings in any of the pairs. Variances are
 * those of part, inspector, interaction (where it can be told) and repeatability.
 *
 * The mean of a cell of n readings varies by the repeatability over n, and the scatter inside cells tells of
 * repeatability alone; so that the full matrix has a row for each cell only, not for each reading.
 *
 * Source: D. A. Harville, Journal of the American Statistical Association 72 (1977), 320–338; S. R. Searle, G. Casella
 * and C. E. McCulloch, Variance Components (1992), section 6.6.
 *
 * @throws ArgumentError where more than 600 pairs were measured
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
  /** Covariance of two cells by each variance. */
  const covariances: readonly ((a: number, b: number) => number)[] = [
    (a, b) => (cells[a]?.part === cells[b]?.part ? 1 : 0),
    (a, b) => (cells[a]?.inspector === cells[b]?.inspector ? 1 : 0),
    ...(interaction ? [(a: number, b: number) => (a === b ? 1 : 0)] : []),
    (a, b) => (a === b ? 1 / (size[a] as number) : 0),
  ]
  const blocks = covariances.map((of) => {
    const block = new Float64Array(c * c)
    for (let a = 0; a < c; a++) for (let b = 0; b < c; b++) block[a * c + b] = of(a, b)
    return block
  })

  const deviance = (variances: Float64Array): Deviance => {
    const v = new Float64Array(c * c)
    for (const [k, block] of blocks.entries()) {
      const variance = variances[k] as number
      if (variance !== 0)
        for (let i = 0; i < v.length; i++) v[i] = (v[i] as number) + variance * (block[i] as number)
    }
    const lower = cholesky(v, c)
    const nowhere = { value: Number.POSITIVE_INFINITY, gradient: new Float64Array(variances.length) }
    if (lower === null) return nowhere
    const inverse = inverseOf(lower, c)
    const rows = new Float64Array(c)
    const weighted = new Float64Array(c)
    let information = 0
    let sum = 0
    for (let a = 0; a < c; a++) {
      let row = 0
      let product = 0
      for (let b = 0; b < c; b++) {
        row += inverse[a * c + b] as number
        product += (inverse[a * c + b] as number) * (y[b] as number)
      }
      rows[a] = row
      weighted[a] = product
      information += row
      sum += product
    }
    const mean = sum / information
    const residual = variances[variances.length - 1] as number
    let value =
      (n - 1) * Math.log(2 * Math.PI) +
      logSizes +
      (n - c) * Math.log(residual) +
      within / residual +
      Math.log(information)
    // V⁻¹ (y − mean)
    const pull = weighted.map((w, a) => w - mean * (rows[a] as number))
    for (let a = 0; a < c; a++) {
      value += 2 * Math.log(lower[a * c + a] as number) + (pull[a] as number) * ((y[a] as number) - mean)
    }
    const gradient = Float64Array.from(blocks, (block) => {
      let slope = 0
      for (let a = 0; a < c; a++) {
        for (let b = 0; b < c; b++) {
          const by = block[a * c + b] as number
          if (by === 0) continue
          const projected =
            (inverse[a * c + b] as number) - ((rows[a] as number) * (rows[b] as number)) / information
          slope += by * (projected - (pull[a] as number) * (pull[b] as number))
        }
      }
      return slope
    })
    const last = gradient.length - 1
    gradient[last] = (gradient[last] as number) + (n - c) / residual - within / residual ** 2
    return { value, gradient }
  }
  return { deviance, units: units(table, y, within, blocks.length) }
}

/** What scatter there is, shared out as if each component had caused it alone; only to search from. */
function units(table: StudyTable, y: Float64Array, within: number, width: number): Float64Array {
  const { cells, n } = table
  const mean = y.reduce((sum, value) => sum + value, 0) / y.length
  const between = y.reduce((sum, value) => sum + (value - mean) ** 2, 0) / Math.max(1, y.length - 1)
  const inside = n > cells.length ? within / (n - cells.length) : 0
  const error = inside > 0 ? inside : between / 10
  return Float64Array.from({ length: width }, () => error)
}

/** Inverse of A = L Lᵀ, row by row. */
function inverseOf(lower: Float64Array, size: number): Float64Array {
  // Columns of L⁻¹.
  const half = new Float64Array(size * size)
  for (let j = 0; j < size; j++) {
    half[j * size + j] = 1 / (lower[j * size + j] as number)
    for (let i = j + 1; i < size; i++) {
      let sum = 0
      for (let k = j; k < i; k++) sum -= (lower[i * size + k] as number) * (half[k * size + j] as number)
      half[i * size + j] = sum / (lower[i * size + i] as number)
    }
  }
  const inverse = new Float64Array(size * size)
  for (let a = 0; a < size; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = 0
      for (let k = a; k < size; k++) sum += (half[k * size + a] as number) * (half[k * size + b] as number)
      inverse[a * size + b] = sum
      inverse[b * size + a] = sum
    }
  }
  return inverse
}
