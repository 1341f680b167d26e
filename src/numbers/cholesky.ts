/**
 * Lower triangle L with L Lᵀ = A, row by row, for a symmetric positive definite matrix.
 *
 * Source: G. H. Golub and C. F. Van Loan, Matrix Computations (2013), section 4.2.
 *
 * @param matrix size × size, row-major; only its lower triangle is read
 * @returns null where the matrix is not positive definite in double precision: a column depends on the others
 */
export function cholesky(matrix: Float64Array, size: number): Float64Array | null {
  const lower = new Float64Array(size * size)
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i * size + j] as number
      for (let k = 0; k < j; k++) sum -= (lower[i * size + k] as number) * (lower[j * size + k] as number)
      if (i === j) {
        // A pivot lost to cancellation means that the rest of the row is noise.
        if (!(sum > 1e-12 * (matrix[i * size + i] as number))) return null
        lower[i * size + i] = Math.sqrt(sum)
      } else {
        lower[i * size + j] = sum / (lower[j * size + j] as number)
      }
    }
  }
  return lower
}

/** xᵀ A⁻¹ x from the lower triangle of A = L Lᵀ: the squared length of the solution of L y = x. */
export function inverseForm(lower: Float64Array, x: ArrayLike<number>): number {
  const size = x.length
  const y = new Float64Array(size)
  let form = 0
  for (let i = 0; i < size; i++) {
    let sum = x[i] as number
    for (let k = 0; k < i; k++) sum -= (lower[i * size + k] as number) * (y[k] as number)
    const yi = sum / (lower[i * size + i] as number)
    y[i] = yi
    form += yi * yi
  }
  return form
}
