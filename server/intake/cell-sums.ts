import { type Moments, mergeMoments } from '../../src/description/moments.ts'

/** Numbers kept of each cell: n, mean, m2, min, max. */
const WIDTH = 5
const ROOM = 1 << 10

/** Moments of cells by the hundred thousand, kept as plain numbers: as objects they take several times as much. */
export class CellSums {
  readonly #places = new Map<number, number>()
  #numbers = new Float64Array(ROOM * WIDTH)

  /** Merge the moments into those of the cell. */
  add(cell: number, moments: Moments): void {
    const known = this.#places.get(cell)
    if (known !== undefined) {
      this.#put(known, mergeMoments(this.#at(known), moments))
      return
    }
    const place = this.#places.size * WIDTH
    if (place === this.#numbers.length) {
      const larger = new Float64Array(place * 2)
      larger.set(this.#numbers)
      this.#numbers = larger
    }
    this.#places.set(cell, place)
    this.#put(place, moments)
  }

  delete(cell: number): void {
    if (this.#places.has(cell)) this.#places.set(cell, -1)
  }

  /** All moments by cell, so many at a time. */
  *pieces(size: number): Generator<Map<number, Moments>> {
    let piece = new Map<number, Moments>()
    for (const [cell, place] of this.#places) {
      if (place < 0) continue
      piece.set(cell, this.#at(place))
      if (piece.size < size) continue
      yield piece
      piece = new Map()
    }
    if (piece.size > 0) yield piece
  }

  #at(place: number): Moments {
    const [n, mean, m2, min, max] = this.#numbers.subarray(place, place + WIDTH) as unknown as [
      number,
      number,
      number,
      number,
      number,
    ]
    return { n, mean, m2, min, max }
  }

  #put(place: number, { n, mean, m2, min, max }: Moments): void {
    this.#numbers.set([n, mean, m2, min, max], place)
  }
}
