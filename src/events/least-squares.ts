/** A weighted linear fit: coefficients, what they are sure to, and what is left over. */
export interface LinearFit {
  readonly coefficients: Float64Array
  /** Diagonal of the inverse of the normal equations: variance of each coefficient per unit of residual variance. */
  readonly variances: Float64Array
  readonly residuals: Float64Array
  /** Weighted sum of squared residuals. */
  readonly squares: number
}

/**
 * Weighted least squares of y on a few columns, by Gauss–Jordan elimination of the normal equations with columns
 * scaled to unit length. A column that the ones before it already explain gets the coefficient 0.
 *
 * @param columns p arrays of length n
 * @param y n values; any finite number where the weight is 0
 * @param weights n weights, not negative
 */
export function leastSquares(
  columns: readonly Float64Array[],
  y: Float64Array,
  weights: Float64Array,
): LinearFit {
  const n = y.length
  const p = columns.length
  // Where a column is not 0: changes concern the builds after them, and most of the others need not be looked at.
  const first = columns.map((column) => {
    let i = 0
    while (i < n && column[i] === 0) i++
    return i
  })
  const end = columns.map((column) => {
    let i = n
    while (i > 0 && column[i - 1] === 0) i--
    return i
  })
  const scale = columns.map((column, k) => {
    let sum = 0
    for (let i = first[k] as number; i < (end[k] as number); i++)
      sum += (weights[i] as number) * (column[i] as number) ** 2
    return sum > 0 ? 1 / Math.sqrt(sum) : 0
  })
  // Normal equations beside the unit matrix, which becomes the inverse, and the right-hand side.
  const width = 2 * p + 1
  const m = new Float64Array(p * width)
  for (let r = 0; r < p; r++) {
    const left = columns[r] as Float64Array
    for (let c = r; c < p; c++) {
      const right = columns[c] as Float64Array
      let sum = 0
      const to = Math.min(end[r] as number, end[c] as number)
      for (let i = Math.max(first[r] as number, first[c] as number); i < to; i++)
        sum += (weights[i] as number) * (left[i] as number) * (right[i] as number)
      sum *= (scale[r] as number) * (scale[c] as number)
      m[r * width + c] = sum
      m[c * width + r] = sum
    }
    let sum = 0
    for (let i = 0; i < n; i++) sum += (weights[i] as number) * (left[i] as number) * (y[i] as number)
    m[r * width + 2 * p] = sum * (scale[r] as number)
    m[r * width + p + r] = 1
  }
  const used = new Array<boolean>(p).fill(false)
  for (let k = 0; k < p; k++) {
    const pivot = m[k * width + k] as number
    if (!(pivot > 1e-9)) continue
    used[k] = true
    for (let c = 0; c < width; c++) m[k * width + c] = (m[k * width + c] as number) / pivot
    for (let r = 0; r < p; r++) {
      if (r === k) continue
      const factor = m[r * width + k] as number
      if (factor === 0) continue
      for (let c = 0; c < width; c++)
        m[r * width + c] = (m[r * width + c] as number) - factor * (m[k * width + c] as number)
    }
  }
  const coefficients = new Float64Array(p)
  const variances = new Float64Array(p)
  for (let k = 0; k < p; k++) {
    if (!used[k]) continue
    coefficients[k] = (m[k * width + 2 * p] as number) * (scale[k] as number)
    variances[k] = (m[k * width + p + k] as number) * (scale[k] as number) ** 2
  }
  const residuals = Float64Array.from(y)
  for (const [k, column] of columns.entries()) {
    const coefficient = coefficients[k] as number
    const to = end[k] as number
    for (let i = first[k] as number; i < to; i++)
      residuals[i] = (residuals[i] as number) - coefficient * (column[i] as number)
  }
  let squares = 0
  for (let i = 0; i < n; i++) squares += (weights[i] as number) * (residuals[i] as number) ** 2
  return { coefficients, variances, residuals, squares }
}
