import { cholesky } from '../numbers/cholesky.ts'
import { inverseFromFactor } from '../numbers/inverse-from-factor.ts'

/**
 * How skew the restricted likelihood estimate of a sum of variance components is, as the degrees of freedom of the
 * scaled chi-square that is as skew: eight times the cube of its second cumulant over the square of the third. To first
 * order the estimate is a quadratic form in the readings, whose cumulants are traces. What few groups, such as three
 * inspectors, add to the estimate makes it as skew as their own few degrees of freedom, however much else the sum
 * holds.
 *
 * Sources: S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992), section 6.6, for the information;
 * N. L. Johnson and S. Kotz, Continuous Univariate Distributions 2 (1970), chapter 29, for cumulants of quadratic
 * forms.
 *
 * @param groups for each component but the last, to which of its effects each of the c cells belongs
 * @param sizes readings in each cell
 * @param n readings in all
 * @param variances of the components, that of repeated readings last and above 0
 * @param weights of the components in the sum, not all 0
 * @returns infinity where the estimate is not skew to the right; null where the covariance is not positive definite
 */
export function estimateDf(
  groups: readonly (readonly number[])[],
  sizes: Float64Array,
  n: number,
  variances: Float64Array,
  weights: readonly number[],
): number | null {
  const c = sizes.length
  const residual = variances[groups.length] as number
  const projection = projectionOf(groups, sizes, variances)
  if (projection === null) return null
  const information = informationOf(groups, sizes, n, residual, projection)
  const factor = cholesky(information, weights.length)
  if (factor === null) return null
  const inverse = inverseFromFactor(factor, weights.length)
  const k = weights.length
  const pull = weights.map((_, i) =>
    weights.reduce((sum, w, j) => sum + (inverse[i * k + j] as number) * w, 0),
  )
  const last = pull[k - 1] as number
  // P B, with B the components' covariances by their pulls.
  const product = new Float64Array(c * c)
  for (const [j, own] of groups.entries()) {
    const by = pull[j] as number
    const width = Math.max(...own) + 1
    const sums = new Float64Array(c * width)
    for (let a = 0; a < c; a++) {
      for (let b = 0; b < c; b++) {
        const at = a * width + (own[b] as number)
        sums[at] = (sums[at] as number) + (projection[a * c + b] as number)
      }
    }
    for (let a = 0; a < c; a++) {
      for (let b = 0; b < c; b++) {
        product[a * c + b] =
          (product[a * c + b] as number) + by * (sums[a * width + (own[b] as number)] as number)
      }
    }
  }
  for (let a = 0; a < c; a++) {
    for (let b = 0; b < c; b++) {
      product[a * c + b] =
        (product[a * c + b] as number) + (last * (projection[a * c + b] as number)) / (sizes[b] as number)
    }
  }
  // Columns beside one another, so that sums run along memory.
  const turned = product.map((_, at) => product[(at % c) * c + Math.floor(at / c)] as number)
  let second = 0
  let third = 0
  for (let a = 0; a < c; a++) {
    for (let b = 0; b < c; b++) {
      let square = 0
      for (let d = 0; d < c; d++) square += (product[a * c + d] as number) * (turned[b * c + d] as number)
      third += square * (turned[a * c + b] as number)
      if (a === b) second += square
    }
  }
  second = second / 2 + ((n - c) * last ** 2) / (2 * residual ** 2)
  third += (n - c) * (last / residual) ** 3
  if (!(second > 0)) return null
  return third <= 0 ? Number.POSITIVE_INFINITY : (8 * second ** 3) / third ** 2
}

/** V⁻¹ with the general mean projected out, row by row. */
function projectionOf(
  groups: readonly (readonly number[])[],
  sizes: Float64Array,
  variances: Float64Array,
): Float64Array | null {
  const c = sizes.length
  const v = new Float64Array(c * c)
  for (const [j, own] of groups.entries()) {
    const variance = variances[j] as number
    for (let a = 0; a < c; a++) {
      for (let b = 0; b < c; b++) if (own[a] === own[b]) v[a * c + b] = (v[a * c + b] as number) + variance
    }
  }
  const residual = variances[groups.length] as number
  for (let a = 0; a < c; a++) v[a * c + a] = (v[a * c + a] as number) + residual / (sizes[a] as number)
  const factor = cholesky(v, c)
  if (factor === null) return null
  const p = inverseFromFactor(factor, c)
  const rows = Float64Array.from({ length: c }, (_, a) => {
    let sum = 0
    for (let b = 0; b < c; b++) sum += p[a * c + b] as number
    return sum
  })
  const all = rows.reduce((sum, row) => sum + row, 0)
  for (let a = 0; a < c; a++) {
    for (let b = 0; b < c; b++) {
      p[a * c + b] = (p[a * c + b] as number) - ((rows[a] as number) * (rows[b] as number)) / all
    }
  }
  return p
}

/** Expected information of the components, ½ tr(P B P B′) for every two of them, row by row. */
function informationOf(
  groups: readonly (readonly number[])[],
  sizes: Float64Array,
  n: number,
  residual: number,
  projection: Float64Array,
): Float64Array {
  const c = sizes.length
  const last = groups.length
  const k = last + 1
  const effects = [...groups, Array.from({ length: c }, (_, a) => a)]
  const weight = (j: number, a: number) => (j === last ? 1 / Math.sqrt(sizes[a] as number) : 1)
  const information = new Float64Array(k * k)
  for (let i = 0; i < k; i++) {
    for (let j = 0; j <= i; j++) {
      const [of, by] = [effects[i] as readonly number[], effects[j] as readonly number[]]
      const width = Math.max(...by) + 1
      const sums = new Float64Array((Math.max(...of) + 1) * width)
      for (let a = 0; a < c; a++) {
        for (let b = 0; b < c; b++) {
          const at = (of[a] as number) * width + (by[b] as number)
          sums[at] = (sums[at] as number) + weight(i, a) * weight(j, b) * (projection[a * c + b] as number)
        }
      }
      const half = sums.reduce((sum, each) => sum + each * each, 0) / 2
      information[i * k + j] = half
      information[j * k + i] = half
    }
  }
  information[k * k - 1] = (information[k * k - 1] as number) + (n - c) / (2 * residual ** 2)
  return information
}
