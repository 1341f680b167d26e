import type { Database, Statement } from 'better-sqlite3'
import type { Cell, Stage } from '../../../src/domain/cell.ts'
import type { CellsWanted } from '../engine.ts'

/**
 * Reads cells by the ten thousand. SQLite calls a function of ours with each row, which costs a sixth of having
 * rows made into objects of the driver's.
 */
export function sqliteCells(database: Database): (wanted: CellsWanted, stage: Stage) => Cell[] {
  let collected: Cell[] = []
  let stageWanted: Stage = 'sintered'
  const takeCell = (
    characteristicId: number,
    buildId: number,
    furnaceLoadId: number | null,
    n: number,
    mean: number,
    m2: number,
    min: number,
    max: number,
  ): number =>
    collected.push({ characteristicId, buildId, furnaceLoadId, stage: stageWanted, n, mean, m2, min, max })
  // Typed as taking what it takes, since the driver counts its parameters; its values come from our own table.
  database.function('take_cell', { directOnly: true }, takeCell as (...row: unknown[]) => unknown)
  const take = 'select count(take_cell(characteristic_id, build_id, furnace_load_id, n, mean, m2, min, max))'
  let ofPartNumber: Statement | null = null
  let ofCharacteristic: Statement | null = null

  return (wanted, stage) => {
    collected = []
    stageWanted = stage
    if ('partNumberId' in wanted) {
      ofPartNumber ??= database.prepare(
        `${take} from cell where stage = ? and characteristic_id in (select id from characteristic where part_number_id = ?)`,
      )
      ofPartNumber.get(stage, wanted.partNumberId)
    } else {
      ofCharacteristic ??= database.prepare(`${take} from cell where stage = ? and characteristic_id = ?`)
      ofCharacteristic.get(stage, wanted.characteristicId)
    }
    return collected
  }
}
