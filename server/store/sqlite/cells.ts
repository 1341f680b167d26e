import type { Database, Statement } from 'better-sqlite3'
import type { Stage } from '../../../src/domain/cell.ts'
import type { CellColumns } from '../../../src/domain/cell-columns.ts'
import { CellRows } from '../cell-rows.ts'
import { type CellChanges, MOST_BUILDS_ANEW } from '../engine.ts'

/** Reads cells as `Engine` says. */
export interface SqliteCells {
  of(characteristicId: number, stage: Stage): CellColumns
  /** All in one go, so that no transaction of this connection begins in between. */
  changes(partNumberId: number, stage: Stage, since: string | null): CellChanges
}

/**
 * Reads cells by the ten thousand. SQLite calls a function of ours with each row, which costs a sixth of having
 * rows made into objects of the driver's.
 */
export function sqliteCells(database: Database): SqliteCells {
  let rows = new CellRows()
  const takeCell = (
    characteristicId: number,
    buildId: number,
    furnaceLoadId: number | null,
    n: number,
    mean: number,
    m2: number,
    min: number,
    max: number,
  ): number => rows.add(characteristicId, buildId, furnaceLoadId, n, mean, m2, min, max)
  // Typed as taking what it takes, since the driver counts its parameters; its values come from our own table.
  database.function('take_cell', { directOnly: true }, takeCell as (...row: unknown[]) => unknown)
  const statements = new Map<string, Statement<unknown[]>>()
  const statement = (text: string) => {
    let known = statements.get(text)
    if (known === undefined) {
      known = database.prepare<unknown[]>(text)
      statements.set(text, known)
    }
    return known
  }
  // In the order of the index, so that nothing is sorted. The limit, which is none, keeps SQLite from leaving the order out.
  const take = (where: string, ...values: unknown[]) => {
    rows = new CellRows()
    statement(
      `select count(take_cell(characteristic_id, build_id, furnace_load_id, n, mean, m2, min, max)) from
         (select characteristic_id, build_id, furnace_load_id, n, mean, m2, min, max from cell
          where n > 0 and stage = ? and ${where}
          order by characteristic_id, stage, build_id, coalesce(furnace_load_id, 0) limit -1)`,
    ).get(...values)
    return rows.columns()
  }
  const OWN = 'characteristic_id in (select id from characteristic where part_number_id = ?)'

  return {
    of: (characteristicId, stage) => take('characteristic_id = ?', stage, characteristicId).cells,
    changes(partNumberId, stage, since) {
      // Read before the cells: what another process commits in between is read again next time.
      const mark = database.inTransaction
        ? null
        : String(statement('select coalesce(max(sequence), 0) from record_entry').pluck().get())
      const builds =
        mark === null || since === null
          ? null
          : (statement(
              'select build_id from cell_change where part_number_id = ? and stage = ? and change > ? limit ?',
            )
              .pluck()
              .all(partNumberId, stage, Number(since), MOST_BUILDS_ANEW + 1) as number[])
      if (builds === null || builds.length > MOST_BUILDS_ANEW) {
        return { mark, builds: null, ...take(OWN, stage, partNumberId) }
      }
      const among = `${OWN} and build_id in (select value from json_each(?))`
      return { mark, builds: new Set(builds), ...take(among, stage, partNumberId, JSON.stringify(builds)) }
    },
  }
}
