import type { ClientBase } from 'pg'
import type { CellValues } from '../engine.ts'
import { copied, HEADER_BYTES } from './copied.ts'

/** Bytes of a row: the number of its columns, and four of them with their lengths. */
const ROW_BYTES = 2 + 8 + 8 + 6 + 12

/** Reads single values by the million, in the binary format of COPY. */
export async function postgresValues(client: ClientBase, cellIds: readonly number[]): Promise<CellValues> {
  // COPY takes no parameters, so nothing but whole numbers may get into its text.
  const ids = cellIds.filter(Number.isInteger).join(', ')
  const bytes = await copied(
    client,
    `copy (select cell_id, part_id, replicate, value from measurement
           where cell_id = any(array[${ids}]::int[]) order by cell_id, part_id, replicate)
     to stdout (format binary)`,
  )
  const rows = Math.floor((bytes.length - HEADER_BYTES) / ROW_BYTES)
  const columns = {
    cell: new Int32Array(rows),
    part: new Int32Array(rows),
    replicate: new Int32Array(rows),
    value: new Float64Array(rows),
  }
  let at = HEADER_BYTES
  for (let i = 0; i < rows; i++, at += ROW_BYTES) {
    columns.cell[i] = bytes.readInt32BE(at + 6)
    columns.part[i] = bytes.readInt32BE(at + 14)
    columns.replicate[i] = bytes.readInt16BE(at + 22)
    columns.value[i] = bytes.readDoubleBE(at + 28)
  }
  return columns
}
