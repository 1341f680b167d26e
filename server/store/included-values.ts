import type { Kysely } from 'kysely'
import { type Moments, momentsOf } from '../../src/description/moments.ts'
import { recountBuckets } from './cell-buckets.ts'
import type { Bulk } from './engine.ts'
import type { MeasurementTable, Schema } from './schema.ts'

/** A single value of a cell. */
type ValueKey = Pick<MeasurementTable, 'cell_id' | 'part_id' | 'replicate'>

/** What a cell holds of which every value is left out. */
const NOTHING: Moments = { n: 0, mean: 0, m2: 0, min: 0, max: 0 }

/** Whether single values of the cells with identities `from` to `to` (inclusive) are left out. */
export async function leftOutValues(
  db: Kysely<Schema>,
  from: number,
  to: number,
): Promise<(value: ValueKey) => boolean> {
  const rows = await excludedMeasurements(db)
    .where('cell.id', '>=', from)
    .where('cell.id', '<=', to)
    .leftJoin('exclusion as undoing', 'undoing.undoes', 'exclusion.id')
    .where('undoing.id', 'is', null)
    .select(['cell.id as cell', 'part.id as part', 'measurement.replicate'])
    .execute()
  const keys = new Set(rows.map(({ cell, part, replicate }) => `${cell} ${part} ${replicate}`))
  return ({ cell_id, part_id, replicate }) => keys.has(`${cell_id} ${part_id} ${replicate}`)
}

/** Measurements that were ever left out as single values, with exclusion, cell and part. */
function excludedMeasurements(db: Kysely<Schema>) {
  return db
    .selectFrom('exclusion')
    .innerJoin('characteristic', 'characteristic.id', 'exclusion.characteristic_id')
    .innerJoin('part', (join) =>
      join
        .onRef('part.part_number_id', '=', 'characteristic.part_number_id')
        .onRef('part.serial', '=', 'exclusion.serial'),
    )
    .innerJoin('cell', (join) =>
      join
        .onRef('cell.characteristic_id', '=', 'exclusion.characteristic_id')
        .onRef('cell.stage', '=', 'exclusion.stage')
        .onRef('cell.build_id', '=', 'exclusion.build_id'),
    )
    .innerJoin('measurement', (join) =>
      join
        .onRef('measurement.cell_id', '=', 'cell.id')
        .onRef('measurement.part_id', '=', 'part.id')
        .onRef('measurement.replicate', '=', 'exclusion.replicate')
        .onRef('measurement.import_id', '=', 'exclusion.import_id'),
    )
    .where('exclusion.undoes', 'is', null)
}

/** Moments of the values of one cell that are not left out; all zero where there is none. */
export function includedMoments(
  rows: readonly (ValueKey & { readonly value: number })[],
  leftOut: (value: ValueKey) => boolean,
): Moments {
  const values = rows.filter((row) => !leftOut(row)).map((row) => row.value)
  return values.length === 0 ? NOTHING : momentsOf(values)
}

/** Cells of which single values were ever left out. */
export async function cellsWithExclusions(db: Kysely<Schema>): Promise<ReadonlySet<number>> {
  const rows = await excludedMeasurements(db).select('cell.id').distinct().execute()
  return new Set(rows.map((row) => row.id))
}

/** Compute cells anew from those of their values that are not left out; a cell without values is deleted. */
export async function recomputeCells(
  db: Kysely<Schema>,
  bulk: Bulk,
  cellIds: Iterable<number>,
): Promise<void> {
  const ids = [...cellIds]
  await bulk.recomputeCells(ids)
  const excluding = await cellsWithExclusions(db)
  for (const id of ids) if (excluding.has(id)) await leaveOutOfCell(db, id)
  await recountBuckets(db, bulk, ids, excluding)
}

/** Compute one cell anew from those of its values that are not left out. */
async function leaveOutOfCell(db: Kysely<Schema>, id: number): Promise<void> {
  const rows = await db
    .selectFrom('measurement')
    .select(['cell_id', 'part_id', 'replicate', 'value'])
    .where('cell_id', '=', id)
    .orderBy('part_id')
    .orderBy('replicate')
    .execute()
  const moments = includedMoments(rows, await leftOutValues(db, id, id))
  await db.updateTable('cell').set(moments).where('id', '=', id).execute()
}
