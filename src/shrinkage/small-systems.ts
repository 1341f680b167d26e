import { cholesky } from '../numbers/cholesky.ts'

/** Solves L y = right in place, L lower triangular with as many rows as `right` has values. */
export function forwardSolve(lower: Float64Array, right: Float64Array): void {
  const size = right.length
  for (let i = 0; i < size; i++) {
    let sum = right[i] as number
    for (let j = 0; j < i; j++) sum -= (lower[i * size + j] as number) * (right[j] as number)
    right[i] = sum / (lower[i * size + i] as number)
  }
}

/** Solves L Lᵀ x = right in place. */
export function solveFactored(lower: Float64Array, right: Float64Array): void {
  const size = right.length
  forwardSolve(lower, right)
  for (let i = size - 1; i >= 0; i--) {
    let sum = right[i] as number
    for (let j = i + 1; j < size; j++) sum -= (lower[j * size + i] as number) * (right[j] as number)
    right[i] = sum / (lower[i * size + i] as number)
  }
}

/** Inverse of a symmetric positive definite matrix, row-major; null where it is not one. */
export function invert(matrix: Float64Array, size: number): Float64Array | null {
  const lower = cholesky(matrix, size)
  if (lower === null) return null
  const result = new Float64Array(size * size)
  const column = new Float64Array(size)
  for (let j = 0; j < size; j++) {
    column.fill(0)
    column[j] = 1
    solveFactored(lower, column)
    for (let i = 0; i < size; i++) result[i * size + j] = column[i] as number
  }
  return result
}
