import { emptyMoments, type MomentColumns, momentsAt, putMoments } from '../description/moment-columns.ts'
import type { Cell, Stage } from './cell.ts'

/** Cells of one characteristic and stage side by side: entry i of every column belongs to cell i. */
export interface CellColumns extends MomentColumns {
  readonly buildId: Int32Array
  /** 0 where the furnace load of the parts is not recorded. */
  readonly furnaceLoadId: Int32Array
}

export const CELL_COLUMNS = ['buildId', 'furnaceLoadId', 'n', 'mean', 'm2', 'min', 'max'] as const

/** Columns with room for so many cells. */
export function emptyCells(length: number): CellColumns {
  return {
    ...emptyMoments(length),
    buildId: new Int32Array(length),
    furnaceLoadId: new Int32Array(length),
  }
}

/** @param cells of one characteristic and stage */
export function cellColumns(cells: readonly Cell[]): CellColumns {
  const columns = emptyCells(cells.length)
  for (const [i, cell] of cells.entries()) {
    columns.buildId[i] = cell.buildId
    columns.furnaceLoadId[i] = cell.furnaceLoadId ?? 0
    putMoments(columns, i, cell)
  }
  return columns
}

/** The same as records. */
export function cellsOfColumns(columns: CellColumns, characteristicId: number, stage: Stage): Cell[] {
  return Array.from({ length: columns.length }, (_, i) => ({
    characteristicId,
    buildId: columns.buildId[i] as number,
    furnaceLoadId: columns.furnaceLoadId[i] || null,
    stage,
    ...momentsAt(columns, i),
  }))
}
