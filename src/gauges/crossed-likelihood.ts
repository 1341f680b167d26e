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
  /** First guess at the variances, to search from: the likelihood can have several maxima where one component is far greater. */
  readonly start: Float64Array
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
    const inverse = inverseFromFactor(lower, c)
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
