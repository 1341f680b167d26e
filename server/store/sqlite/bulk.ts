import type { Database, Statement } from 'better-sqlite3'
import { mergeMoments, momentsOf } from '../../../src/description/moments.ts'
import { STAGES } from '../../../src/domain/cell.ts'
import type { Bulk, CellValues, Duplicate, MeasurementColumns } from '../engine.ts'
import type { PartTable } from '../schema.ts'

/** Rows to one INSERT: beyond this the time goes into binding and the tree, not into calls. */
const ROWS_AT_ONCE = 16
const COLUMNS = 9

/** Prepared statements on the raw connection; each is prepared at its first use, when the tables are there. */
export function sqliteBulk(
  database: Database,
  values: (cellIds: readonly number[]) => CellValues,
  parts: (partNumberId: number, serials: readonly string[]) => PartTable[],
): Bulk {
  const prepared = new Map<string, Statement>()
  const statement = (sql: string): Statement => {
    let known = prepared.get(sql)
    if (known === undefined) {
      known = database.prepare(sql)
      prepared.set(sql, known)
    }
    return known
  }

  const inserts: Statement[] = []
  const insertOf = (rows: number): Statement => {
    inserts[rows] ??= database.prepare(insertSql(rows))
    return inserts[rows]
  }

  return {
    async insertParts(parts) {
      const insert = statement(
        'insert into part (id, part_number_id, serial, build_id, bed_x, bed_y, bed_z, furnace_load_id, tray, tray_place, stages)' +
          ' values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)',
      )
      for (const p of parts) {
        insert.run(
          p.id,
          p.part_number_id,
          p.serial,
          p.build_id,
          p.bed_x,
          p.bed_y,
          p.bed_z,
          p.furnace_load_id,
          p.tray,
          p.tray_place,
          p.stages,
        )
      }
    },

    async placeParts(places) {
      const place = statement(
        'update part set bed_x = ?, bed_y = ?, bed_z = ?, furnace_load_id = ?, tray = ?, tray_place = ?, stages = ?' +
          ' where id = ?',
      )
      for (const p of places) {
        place.run(p.bed_x, p.bed_y, p.bed_z, p.furnace_load_id, p.tray, p.tray_place, p.stages, p.id)
      }
    },

    async insertCells(cells) {
      const insert = statement(
        'insert into cell (id, characteristic_id, build_id, furnace_load_id, stage, n, mean, m2, min, max)' +
          ' values (?, ?, ?, ?, ?, 0, 0, 0, 0, 0)',
      )
      for (const c of cells) insert.run(c.id, c.characteristic_id, c.build_id, c.furnace_load_id, c.stage)
    },

    async insertMeasurements(importId, columns, order) {
      const duplicates: Duplicate[] = []
      for (let start = 0; start < order.length; start += ROWS_AT_ONCE) {
        const rows = Math.min(ROWS_AT_ONCE, order.length - start)
        const bound = bind(importId, columns, order, start, rows)
        const { changes } = insertOf(rows).run(bound)
        if (changes === rows) continue
        const first = statement(
          'select import_id, line from measurement where cell_id = ? and part_id = ? and replicate = ?',
        )
        for (let i = start; i < start + rows; i++) {
          const index = order[i] as number
          const there = first.get(columns.cell[index], columns.part[index], columns.replicate[index]) as {
            import_id: number
            line: number
          }
          if (there.import_id === importId && there.line === columns.line[index]) continue
          duplicates.push({ index, firstImportId: there.import_id, firstLine: there.line })
        }
      }
      return duplicates
    },

    async insertOwnLimits(importId, { part, characteristic, stage, replicate, measured, lower, upper }) {
      const insert = statement(
        'insert into own_limits (part_id, characteristic_id, stage, replicate, import_id, measured, lower, upper)' +
          ' values (?, ?, ?, ?, ?, ?, ?, ?)',
      )
      for (let i = 0; i < part.length; i++) {
        insert.run(
          part[i],
          characteristic[i],
          STAGES[stage[i] as number],
          replicate[i],
          importId,
          measured[i],
          orNull(lower[i] as number),
          orNull(upper[i] as number),
        )
      }
    },

    async moveMeasurements(fromCell, toCell, partIds) {
      const there = statement('select distinct part_id from measurement where cell_id = ?')
        .pluck()
        .all(fromCell) as number[]
      const move = statement('update measurement set cell_id = ? where cell_id = ? and part_id = ?')
      let moved = 0
      for (const partId of there) {
        if (partIds.has(partId)) moved += move.run(toCell, fromCell, partId).changes
      }
      return moved
    },

    partsBySerial: async (partNumberId, serials) => parts(partNumberId, serials),
    values: async (cellIds) => values(cellIds),

    async mergeCells(moments) {
      const read = statement('select n, mean, m2, min, max from cell where id = ?')
      const write = statement('update cell set n = ?, mean = ?, m2 = ?, min = ?, max = ? where id = ?')
      for (const [id, added] of moments) {
        const recorded = read.get(id) as typeof added
        const all = recorded.n === 0 ? added : mergeMoments(recorded, added)
        write.run(all.n, all.mean, all.m2, all.min, all.max, id)
      }
    },

    async recomputeCells(cellIds) {
      const read = statement('select value from measurement where cell_id = ?').pluck()
      const write = statement('update cell set n = ?, mean = ?, m2 = ?, min = ?, max = ? where id = ?')
      const remove = statement('delete from cell where id = ?')
      for (const id of cellIds) {
        const values = read.all(id) as number[]
        if (values.length === 0) {
          remove.run(id)
          continue
        }
        const all = momentsOf(values)
        write.run(all.n, all.mean, all.m2, all.min, all.max, id)
      }
    },
  }
}

function orNull(value: number): number | null {
  return Number.isNaN(value) ? null : value
}

function insertSql(rows: number): string {
  const tuple = `(${Array(COLUMNS).fill('?').join(', ')})`
  return (
    'insert into measurement (cell_id, part_id, replicate, value, gauge_id, inspector_id, measured_at, import_id, line)' +
    ` values ${Array(rows).fill(tuple).join(', ')} on conflict do nothing`
  )
}

/** Parameters of one INSERT, row after row. */
function bind(
  importId: number,
  columns: MeasurementColumns,
  order: Uint32Array,
  start: number,
  rows: number,
): unknown[] {
  const bound: unknown[] = new Array(rows * COLUMNS)
  let k = 0
  for (let i = start; i < start + rows; i++) {
    const index = order[i] as number
    const measuredAt = columns.measuredAt[index] as number
    bound[k++] = columns.cell[index]
    bound[k++] = columns.part[index]
    bound[k++] = columns.replicate[index]
    bound[k++] = columns.value[index]
    bound[k++] = columns.gauge[index] || null
    bound[k++] = columns.inspector[index] || null
    bound[k++] = Number.isNaN(measuredAt) ? null : measuredAt
    bound[k++] = importId
    bound[k++] = columns.line[index]
  }
  return bound
}
