import type { Database, Statement } from 'better-sqlite3'
import type { CellValues } from '../engine.ts'

/** Room at first; it is doubled as often as need be. */
const ROOM = 1 << 12

/** Reads single values by the million: SQLite calls a function of ours with each row, as it does for cells. */
export function sqliteValues(database: Database): (cellIds: readonly number[]) => CellValues {
  let columns = columnsFor(ROOM)
  let count = 0
  const takeValue = (cell: number, part: number, replicate: number, value: number): number => {
    if (count === columns.value.length) columns = enlarged(columns)
    columns.cell[count] = cell
    columns.part[count] = part
    columns.replicate[count] = replicate
    columns.value[count] = value
    return count++
  }
  // Typed as taking what it takes, since the driver counts its parameters; its values come from our own table.
  database.function('take_value', { directOnly: true }, takeValue as (...row: unknown[]) => unknown)
  let select: Statement | null = null

  return (cellIds) => {
    columns = columnsFor(ROOM)
    count = 0
    select ??= database.prepare(
      `select count(take_value(cell_id, part_id, replicate, value)) from
         (select cell_id, part_id, replicate, value from measurement where cell_id = ? order by part_id, replicate)`,
    )
    for (const id of [...cellIds].sort((a, b) => a - b)) select.get(id)
    const { cell, part, replicate, value } = columns
    return {
      cell: cell.subarray(0, count),
      part: part.subarray(0, count),
      replicate: replicate.subarray(0, count),
      value: value.subarray(0, count),
    }
  }
}

function columnsFor(rows: number) {
  return {
    cell: new Int32Array(rows),
    part: new Int32Array(rows),
    replicate: new Int32Array(rows),
    value: new Float64Array(rows),
  }
}

function enlarged(columns: ReturnType<typeof columnsFor>): ReturnType<typeof columnsFor> {
  const larger = columnsFor(columns.value.length * 2)
  larger.cell.set(columns.cell)
  larger.part.set(columns.part)
  larger.replicate.set(columns.replicate)
  larger.value.set(columns.value)
  return larger
}
