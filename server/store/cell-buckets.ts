import type { Kysely } from 'kysely'
import { bucketCounts } from '../../src/description/bucket-counts.ts'
import { packBuckets } from './bucket-bytes.ts'
import type { Bulk } from './engine.ts'
import type { Schema } from './schema.ts'

/**
 * Values of a cell from which on its counts in buckets are kept. Below, its values themselves are read as fast, and
 * the counts would take as much room as a digit of each value.
 */
const LEAST_COUNTED = 128

/** Cells whose values are read together. */
const AT_ONCE = 500

/**
 * Count the values of these cells anew, as they are now. A cell from which single values are left out keeps no
 * counts, and its values are read one by one.
 *
 * @param excluding identities of the cells of which values were left out
 */
export async function recountBuckets(
  db: Kysely<Schema>,
  bulk: Bulk,
  ids: readonly number[],
  excluding: ReadonlySet<number>,
): Promise<void> {
  for (let i = 0; i < ids.length; i += AT_ONCE) {
    const some = ids.slice(i, i + AT_ONCE)
    await db.deleteFrom('cell_buckets').where('cell_id', 'in', some).execute()
    const large = await db
      .selectFrom('cell')
      .select('id')
      .where('id', 'in', some)
      .where('n', '>=', LEAST_COUNTED)
      .execute()
    const wanted = large.map((cell) => cell.id).filter((id) => !excluding.has(id))
    if (wanted.length === 0) continue
    const { cell, value } = await bulk.values(wanted)
    const rows = []
    for (let from = 0; from < cell.length; ) {
      const id = cell[from] as number
      let to = from
      while (to < cell.length && cell[to] === id) to++
      rows.push({ cell_id: id, buckets: packBuckets(bucketCounts(value.subarray(from, to))) })
      from = to
    }
    await db.insertInto('cell_buckets').values(rows).execute()
  }
}
