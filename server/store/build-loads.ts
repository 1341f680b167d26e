import type { Kysely } from 'kysely'
import type { NewCell } from './engine.ts'
import type { Schema } from './schema.ts'

/** Rows to one statement; parameters stay below the least limit of the dialects. */
const AT_ONCE = 500

/** Note down which furnace loads took parts of the builds that these new cells are of. */
export async function noteLoads(db: Kysely<Schema>, cells: readonly NewCell[]): Promise<void> {
  const ids = [...new Set(cells.map((cell) => cell.characteristic_id))]
  const partNumberOf = new Map<number, number>()
  for (let i = 0; i < ids.length; i += AT_ONCE) {
    const rows = await db
      .selectFrom('characteristic')
      .select(['id', 'part_number_id'])
      .where('id', 'in', ids.slice(i, i + AT_ONCE))
      .execute()
    for (const row of rows) partNumberOf.set(row.id, row.part_number_id)
  }
  const rows = new Map<string, Schema['build_load']>()
  for (const { characteristic_id, build_id, furnace_load_id, stage } of cells) {
    if (furnace_load_id === null) continue
    const part_number_id = partNumberOf.get(characteristic_id) as number
    rows.set(`${part_number_id} ${stage} ${build_id} ${furnace_load_id}`, {
      part_number_id,
      stage,
      build_id,
      furnace_load_id,
    })
  }
  const all = [...rows.values()]
  for (let i = 0; i < all.length; i += AT_ONCE) {
    await db
      .insertInto('build_load')
      .values(all.slice(i, i + AT_ONCE))
      .onConflict((conflict) => conflict.doNothing())
      .execute()
  }
}
