/** Inverse of A = L Lᵀ from its lower factor L, both row by row. */
export function inverseFromFactor(lower: Float64Array, size: number): Float64Array {
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
