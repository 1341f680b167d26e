import { once } from 'node:events'
import type { Kysely } from 'kysely'
import type { PoolClient } from 'pg'
import { from as copyFrom } from 'pg-copy-streams'
import { type Moments, mergeMoments, momentsOf } from '../../../src/description/moments.ts'
import { STAGES } from '../../../src/domain/cell.ts'
import type { Bulk, Duplicate, MeasurementColumns } from '../engine.ts'
import { MissingRowError } from '../errors.ts'
import type { PartTable, Schema } from '../schema.ts'
import { COPIED_COLUMNS, encodeMeasurements } from './copy-rows.ts'
import { postgresParts } from './parts.ts'
import { CELLS_TO_A_PARTITION } from './tables.ts'
import { postgresValues } from './values.ts'

const UNIQUE_VIOLATION = '23505'
/** Rows to one statement that takes its rows as arrays. */
const ROWS_AT_ONCE = 20_000

/**
 * @param client holds the open transaction
 * @param db the same transaction
 * @param needPartition makes the partition of that number, outside the transaction, where it is not there
 */
export function postgresBulk(
  client: PoolClient,
  db: Kysely<Schema>,
  needPartition: (number: number) => Promise<void>,
): Bulk {
  return {
    async insertParts(parts) {
      for (const some of pieces(parts)) {
        await client.query(
          `insert into part (id, part_number_id, serial, build_id, bed_x, bed_y, bed_z, furnace_load_id, tray, tray_place, stages)
           select * from unnest($1::int[], $2::int[], $3::text[], $4::int[], $5::float8[], $6::float8[], $7::float8[], $8::int[], $9::text[], $10::text[], $11::int[])`,
          arrays(some, [
            'id',
            'part_number_id',
            'serial',
            'build_id',
            'bed_x',
            'bed_y',
            'bed_z',
            'furnace_load_id',
            'tray',
            'tray_place',
            'stages',
          ] satisfies (keyof PartTable)[]),
        )
      }
    },

    async placeParts(places) {
      for (const some of pieces(places)) {
        await client.query(
          `update part set bed_x = p.bed_x, bed_y = p.bed_y, bed_z = p.bed_z, furnace_load_id = p.furnace_load_id,
             tray = p.tray, tray_place = p.tray_place, stages = p.stages
           from unnest($1::int[], $2::float8[], $3::float8[], $4::float8[], $5::int[], $6::text[], $7::text[], $8::int[])
             as p (id, bed_x, bed_y, bed_z, furnace_load_id, tray, tray_place, stages)
           where part.id = p.id`,
          arrays(some, ['id', 'bed_x', 'bed_y', 'bed_z', 'furnace_load_id', 'tray', 'tray_place', 'stages']),
        )
      }
    },

    async insertCells(cells) {
      const partitions = new Set(cells.map((cell) => Math.floor(cell.id / CELLS_TO_A_PARTITION)))
      for (const number of partitions) await needPartition(number)
      for (const some of pieces(cells)) {
        await client.query(
          `insert into cell (id, characteristic_id, build_id, furnace_load_id, stage, n, mean, m2, min, max)
           select id, characteristic_id, build_id, furnace_load_id, stage, 0, 0, 0, 0, 0
           from unnest($1::int[], $2::int[], $3::int[], $4::int[], $5::text[])
             as c (id, characteristic_id, build_id, furnace_load_id, stage)`,
          arrays(some, ['id', 'characteristic_id', 'build_id', 'furnace_load_id', 'stage']),
        )
      }
    },

    async insertMeasurements(importId, columns, order) {
      if (order.length === 0) return []
      await checkReferences(client, importId, columns, order)
      await client.query('savepoint before_measurements')
      try {
        await copy(
          client,
          `copy measurement (${COPIED_COLUMNS}) from stdin (format binary)`,
          encodeMeasurements(importId, columns, order, false),
        )
        await client.query('release savepoint before_measurements')
        return []
      } catch (error) {
        if ((error as { code?: string }).code !== UNIQUE_VIOLATION) throw error
        await client.query('rollback to savepoint before_measurements')
        return await insertAllButDuplicates(client, importId, columns, order)
      }
    },

    async insertOwnLimits(importId, columns) {
      for (let i = 0; i < columns.part.length; i += ROWS_AT_ONCE) {
        const piece = <T extends { slice(from: number, to: number): T }>(column: T) =>
          column.slice(i, i + ROWS_AT_ONCE)
        const orNull = (column: Float64Array) =>
          Array.from(piece(column), (value) => (Number.isNaN(value) ? null : value))
        await client.query(
          `insert into own_limits (part_id, characteristic_id, stage, replicate, import_id, measured, lower, upper)
           select part, characteristic, stage, replicate, $5, measured, lower, upper
           from unnest($1::int[], $2::int[], $3::text[], $4::int[], $6::float8[], $7::float8[], $8::float8[])
             as o (part, characteristic, stage, replicate, measured, lower, upper)`,
          [
            Array.from(piece(columns.part)),
            Array.from(piece(columns.characteristic)),
            Array.from(piece(columns.stage), (stage) => STAGES[stage]),
            Array.from(piece(columns.replicate)),
            importId,
            Array.from(piece(columns.measured)),
            orNull(columns.lower),
            orNull(columns.upper),
          ],
        )
      }
    },

    async moveMeasurements(fromCell, toCell, partIds) {
      const { rowCount } = await client.query(
        'update measurement set cell_id = $1 where cell_id = $2 and part_id = any($3::int[])',
        [toCell, fromCell, [...partIds]],
      )
      return rowCount ?? 0
    },

    partsBySerial: (partNumberId, serials) => postgresParts(db, partNumberId, serials),
    values: (cellIds) => postgresValues(client, cellIds),

    async mergeCells(moments) {
      for (const some of pieces([...moments])) {
        const { rows } = await client.query<Moments & { id: number }>(
          'select id, n, mean, m2, min, max from cell where id = any($1::int[])',
          [some.map(([id]) => id)],
        )
        const recorded = new Map(rows.map((row) => [row.id, row]))
        const merged = some.map(([id, added]) => {
          const before = recorded.get(id)
          if (before === undefined) throw new MissingRowError('cell', id)
          return { id, ...(before.n === 0 ? added : mergeMoments(before, added)) }
        })
        await writeMoments(client, merged)
      }
    },

    async recomputeCells(cellIds) {
      for (const id of cellIds) {
        const { rows } = await client.query<[number]>({
          text: 'select value from measurement where cell_id = $1 order by part_id, replicate',
          values: [id],
          rowMode: 'array',
        })
        if (rows.length === 0) await client.query('delete from cell where id = $1', [id])
        else await writeMoments(client, [{ id, ...momentsOf(rows.map(([value]) => value)) }])
      }
    },
  }
}

async function writeMoments(
  client: PoolClient,
  cells: readonly (Moments & { readonly id: number })[],
): Promise<void> {
  await client.query(
    `update cell set n = c.n, mean = c.mean, m2 = c.m2, min = c.min, max = c.max
     from unnest($1::int[], $2::int[], $3::float8[], $4::float8[], $5::float8[], $6::float8[])
       as c (id, n, mean, m2, min, max)
     where cell.id = c.id`,
    arrays(cells, ['id', 'n', 'mean', 'm2', 'min', 'max']),
  )
}

/** Stands in for foreign keys; see `createPostgresTables`. */
async function checkReferences(
  client: PoolClient,
  importId: number,
  columns: MeasurementColumns,
  order: Uint32Array,
): Promise<void> {
  const distinct = (column: Int32Array) => {
    const ids = new Set<number>()
    for (const i of order) ids.add(column[i] as number)
    // An optional reference that is not there.
    ids.delete(0)
    return [...ids]
  }
  const referred = {
    cell: distinct(columns.cell),
    part: distinct(columns.part),
    gauge: distinct(columns.gauge),
    inspector: distinct(columns.inspector),
    import: [importId],
  }
  for (const [table, ids] of Object.entries(referred)) {
    const { rows } = await client.query<{ id: number }>(
      `select id from unnest($1::int[]) as referred (id)
       where not exists (select from ${table} where ${table}.id = referred.id) limit 1`,
      [ids],
    )
    if (rows[0] !== undefined) throw new MissingRowError(table, rows[0].id)
  }
}

/** The way of a batch that holds a measurement which is there already: slower, and rare. */
async function insertAllButDuplicates(
  client: PoolClient,
  importId: number,
  columns: MeasurementColumns,
  order: Uint32Array,
): Promise<readonly Duplicate[]> {
  await client.query(
    'create temporary table if not exists incoming (place integer, like measurement) on commit drop',
  )
  await client.query('truncate incoming')
  await copy(
    client,
    `copy incoming (place, ${COPIED_COLUMNS}) from stdin (format binary)`,
    encodeMeasurements(importId, columns, order, true),
  )
  await client.query(
    `insert into measurement (${COPIED_COLUMNS}) select ${COPIED_COLUMNS} from incoming order by place
     on conflict do nothing`,
  )
  const { rows } = await client.query<{ place: number; import_id: number; line: number }>(
    `select incoming.place, measurement.import_id, measurement.line
     from incoming join measurement using (cell_id, part_id, replicate)
     where (measurement.import_id, measurement.line) is distinct from (incoming.import_id, incoming.line)
     order by place`,
  )
  return rows.map((row) => ({
    index: order[row.place] as number,
    firstImportId: row.import_id,
    firstLine: row.line,
  }))
}

async function copy(client: PoolClient, statement: string, chunks: Iterable<Buffer>): Promise<void> {
  const stream = client.query(copyFrom(statement))
  // Heard even while nobody waits for the stream, so that a refusal cannot end the process.
  const failed = new Promise<never>((_, reject) => stream.once('error', reject))
  failed.catch(() => undefined)
  for (const chunk of chunks) {
    if (!stream.write(chunk)) await Promise.race([once(stream, 'drain'), failed])
  }
  stream.end()
  await Promise.race([once(stream, 'finish'), failed])
}

/** Each column of the rows as an array, as `unnest` takes it. */
function arrays<T extends object>(rows: readonly T[], columns: readonly (keyof T)[]): unknown[][] {
  return columns.map((column) => rows.map((row) => row[column]))
}

function* pieces<T>(rows: readonly T[]): Generator<readonly T[]> {
  for (let i = 0; i < rows.length; i += ROWS_AT_ONCE) yield rows.slice(i, i + ROWS_AT_ONCE)
}
