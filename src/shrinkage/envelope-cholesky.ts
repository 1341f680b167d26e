import { ConvergenceError } from '../errors.ts'

/**
 * A symmetric matrix stored by rows, each from its first entry to the diagonal. Cholesky's factor fits into the same
 * store, so that a matrix whose entries lie close to the diagonal is solved in time proportional to its size.
 *
 * Sources: A. George and J. W. Liu, Computer Solution of Large Sparse Positive Definite Systems (1981), chapter 4; for
 * the inverse on the same entries K. Takahashi, J. Fagan and M. Chin, Formation of a sparse bus impedance matrix,
 * Proceedings of the 8th PICA Conference (1973), 63–69.
 */
export class EnvelopeMatrix {
  readonly size: number
  /** First column of each row. */
  private readonly first: Int32Array
  /** Where column 0 of each row would stand in `values`. */
  private readonly origin: Int32Array
  private readonly values: Float64Array
  /** For each column the rows below the diagonal that reach it, and where each column's list begins. */
  private readonly below: Int32Array
  private readonly belowFrom: Int32Array

  /** @param first for each row its first column, not beyond the diagonal */
  constructor(first: Int32Array) {
    const size = first.length
    this.size = size
    this.first = first
    this.origin = new Int32Array(size)
    let length = 0
    const counts = new Int32Array(size + 1)
    for (let i = 0; i < size; i++) {
      const from = first[i] as number
      this.origin[i] = length - from
      length += i - from + 1
      for (let j = from; j < i; j++) counts[j + 1] = (counts[j + 1] as number) + 1
    }
    this.values = new Float64Array(length)
    for (let j = 0; j < size; j++) counts[j + 1] = (counts[j + 1] as number) + (counts[j] as number)
    this.belowFrom = counts
    this.below = new Int32Array(counts[size] as number)
    const next = counts.slice()
    for (let i = 0; i < size; i++) {
      for (let j = first[i] as number; j < i; j++) {
        this.below[next[j] as number] = i
        next[j] = (next[j] as number) + 1
      }
    }
  }

  clear(): void {
    this.values.fill(0)
  }

  /** Adds to the entry in row i and column j; either order. */
  add(i: number, j: number, by: number): void {
    const at = i >= j ? (this.origin[i] as number) + j : (this.origin[j] as number) + i
    this.values[at] = (this.values[at] as number) + by
  }

  /**
   * Replaces the matrix by its lower triangular factor.
   *
   * @returns logarithm of the determinant
   * @throws ConvergenceError where the matrix is not positive definite in double precision
   */
  factorise(): number {
    const { first, origin, values } = this
    let logDeterminant = 0
    for (let i = 0; i < this.size; i++) {
      const from = first[i] as number
      const row = origin[i] as number
      let diagonal = values[row + i] as number
      for (let j = from; j < i; j++) {
        const other = origin[j] as number
        let sum = values[row + j] as number
        for (let k = Math.max(from, first[j] as number); k < j; k++) {
          sum -= (values[row + k] as number) * (values[other + k] as number)
        }
        const entry = sum / (values[other + j] as number)
        values[row + j] = entry
        diagonal -= entry * entry
      }
      if (!(diagonal > 0)) throw new ConvergenceError(`envelope matrix: row ${i + 1} depends on those before`)
      values[row + i] = Math.sqrt(diagonal)
      logDeterminant += Math.log(diagonal)
    }
    return logDeterminant
  }

  /** Solves in place with the factor: right becomes the solution. */
  solve(right: Float64Array): void {
    const { first, origin, values } = this
    for (let i = 0; i < this.size; i++) {
      const row = origin[i] as number
      let sum = right[i] as number
      for (let j = first[i] as number; j < i; j++) sum -= (values[row + j] as number) * (right[j] as number)
      right[i] = sum / (values[row + i] as number)
    }
    for (let i = this.size - 1; i >= 0; i--) {
      const row = origin[i] as number
      const x = (right[i] as number) / (values[row + i] as number)
      right[i] = x
      for (let j = first[i] as number; j < i; j++)
        right[j] = (right[j] as number) - (values[row + j] as number) * x
    }
  }

  /** The inverse on the stored entries, from the factor. */
  inverse(): EnvelopeMatrix {
    const { origin, values, below, belowFrom } = this
    const result = new EnvelopeMatrix(this.first)
    const out = result.values
    for (let j = this.size - 1; j >= 0; j--) {
      const diagonal = values[(origin[j] as number) + j] as number
      const begin = belowFrom[j] as number
      const end = belowFrom[j + 1] as number
      let own = 0
      for (let a = begin; a < end; a++) {
        const i = below[a] as number
        let sum = 0
        for (let b = begin; b < end; b++) {
          const k = below[b] as number
          const entry = k >= i ? out[(origin[k] as number) + i] : out[(origin[i] as number) + k]
          sum += (values[(origin[k] as number) + j] as number) * (entry as number)
        }
        const entry = -sum / diagonal
        out[(origin[i] as number) + j] = entry
        own += (values[(origin[i] as number) + j] as number) * entry
      }
      out[(origin[j] as number) + j] = (1 / diagonal - own) / diagonal
    }
    return result
  }

  /** The entry in row i and column j; either order; it must be stored. */
  at(i: number, j: number): number {
    return this.values[i >= j ? (this.origin[i] as number) + j : (this.origin[j] as number) + i] as number
  }
}
