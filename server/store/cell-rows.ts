import { CELL_COLUMNS, type CellColumns, emptyCells } from '../../src/domain/cell-columns.ts'

/** Room at first; it is doubled as often as need be. */
const ROOM = 1 << 10

/** Collects cells row by row into columns. */
export class CellRows {
  #characteristicId = new Int32Array(ROOM)
  #cells = emptyCells(ROOM)
  #count = 0

  add(
    characteristicId: number,
    buildId: number,
    furnaceLoadId: number | null,
    n: number,
    mean: number,
    m2: number,
    min: number,
    max: number,
  ): number {
    if (this.#count === this.#characteristicId.length) this.#enlarge()
    const i = this.#count++
    const cells = this.#cells
    this.#characteristicId[i] = characteristicId
    cells.buildId[i] = buildId
    cells.furnaceLoadId[i] = furnaceLoadId ?? 0
    cells.n[i] = n
    cells.mean[i] = mean
    cells.m2[i] = m2
    cells.min[i] = min
    cells.max[i] = max
    return i
  }

  columns(): { readonly characteristicId: Int32Array; readonly cells: CellColumns } {
    const { buildId, furnaceLoadId, n, mean, m2, min, max } = this.#cells
    const length = this.#count
    return {
      characteristicId: this.#characteristicId.subarray(0, length),
      cells: {
        length,
        buildId: buildId.subarray(0, length),
        furnaceLoadId: furnaceLoadId.subarray(0, length),
        n: n.subarray(0, length),
        mean: mean.subarray(0, length),
        m2: m2.subarray(0, length),
        min: min.subarray(0, length),
        max: max.subarray(0, length),
      },
    }
  }

  #enlarge(): void {
    const larger = emptyCells(2 * this.#count)
    for (const column of CELL_COLUMNS) {
      larger[column].set(this.#cells[column])
    }
    this.#cells = larger
    const ids = new Int32Array(2 * this.#count)
    ids.set(this.#characteristicId)
    this.#characteristicId = ids
  }
}
