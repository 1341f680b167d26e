import type { ClientBase } from 'pg'
import type { Cell, Stage } from '../../../src/domain/cell.ts'
import { STAGES } from '../../../src/domain/cell.ts'
import type { CellsWanted } from '../engine.ts'
import { copied, HEADER_BYTES } from './copied.ts'

/**
 * Reads cells by the ten thousand, in the binary format of COPY: rows of numbers as they are in memory take a
 * third of the time of rows of text.
 */
export async function postgresCells(client: ClientBase, wanted: CellsWanted, stage: Stage): Promise<Cell[]> {
  // COPY takes no parameters, so nothing but numbers and the names of stages may get into its text.
  if (!STAGES.includes(stage)) throw new TypeError(`no stage "${stage}"`)
  const id = Number('partNumberId' in wanted ? wanted.partNumberId : wanted.characteristicId)
  const which =
    'partNumberId' in wanted ? `in (select id from characteristic where part_number_id = ${id})` : `= ${id}`
  const bytes = await copied(
    client,
    `copy (select characteristic_id, build_id, furnace_load_id, n, mean, m2, min, max
           from cell where stage = '${stage}' and characteristic_id ${which}) to stdout (format binary)`,
  )
  return decode(bytes, stage)
}

function decode(bytes: Buffer, stage: Stage): Cell[] {
  const cells: Cell[] = []
  let at = HEADER_BYTES
  const int = (): number => {
    const value = bytes.readInt32BE(at + 4)
    at += 8
    return value
  }
  const intOrNull = (): number | null => {
    if (bytes.readInt32BE(at) !== -1) return int()
    at += 4
    return null
  }
  const double = (): number => {
    const value = bytes.readDoubleBE(at + 4)
    at += 12
    return value
  }
  // Each row begins with the number of its columns; -1 ends them.
  while (bytes.readInt16BE(at) !== -1) {
    at += 2
    cells.push({
      characteristicId: int(),
      buildId: int(),
      furnaceLoadId: intOrNull(),
      stage,
      n: int(),
      mean: double(),
      m2: double(),
      min: double(),
      max: double(),
    })
  }
  return cells
}
