import { type Moments, mergeMoments } from '../../src/description/moments.ts'

/** Numbers kept of each cell: n, mean, m2, min, max. */
const WIDTH = 5
/** Cells of neighbouring identities that lie together: those that one file makes are numbered one after another. */
const BLOCK = 16
/** Blocks to one stretch of memory. */
const BLOCKS = 256

/**
 * Moments of cells by the hundred thousand, some forty bytes a cell: as objects, or each with an entry in a map of its
 * own, they take several times as much.
 */
export class CellSums {
  /** Place of each block among all, by number of the block. */
  readonly #places = new Map<number, number>()
  readonly #stretches: Float64Array[] = []

  /** Merge the moments into those of the cell. */
  add(cell: number, moments: Moments): void {
    const block = Math.floor(cell / BLOCK)
    let place = this.#places.get(block)
    if (place === undefined) {
      place = this.#places.size
      this.#places.set(block, place)
      if (place % BLOCKS === 0) this.#stretches.push(new Float64Array(BLOCKS * BLOCK * WIDTH))
    }
    const numbers = this.#numbers(place, cell % BLOCK)
    const { n, mean, m2, min, max } = numbers[0] === 0 ? moments : mergeMoments(momentsIn(numbers), moments)
    numbers[0] = n
    numbers[1] = mean
    numbers[2] = m2
    numbers[3] = min
    numbers[4] = max
  }

  delete(cell: number): void {
    const place = this.#places.get(Math.floor(cell / BLOCK))
    if (place !== undefined) this.#numbers(place, cell % BLOCK)[0] = 0
  }

  /** All moments by cell, so many at a time. */
  *pieces(size: number): Generator<Map<number, Moments>> {
    let piece = new Map<number, Moments>()
    for (const [block, place] of this.#places) {
      for (let i = 0; i < BLOCK; i++) {
        const numbers = this.#numbers(place, i)
        if (numbers[0] === 0) continue
        piece.set(block * BLOCK + i, momentsIn(numbers))
        if (piece.size < size) continue
        yield piece
        piece = new Map()
      }
    }
    if (piece.size > 0) yield piece
  }

  #numbers(place: number, i: number): Float64Array {
    const start = ((place % BLOCKS) * BLOCK + i) * WIDTH
    return (this.#stretches[Math.floor(place / BLOCKS)] as Float64Array).subarray(start, start + WIDTH)
  }
}

/** A cell without values has n = 0. */
function momentsIn(numbers: Float64Array): Moments {
  const [n, mean, m2, min, max] = numbers as unknown as [number, number, number, number, number]
  return { n, mean, m2, min, max }
}
