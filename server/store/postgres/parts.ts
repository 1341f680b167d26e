import type { Kysely } from 'kysely'
import type { PartTable, Schema } from '../schema.ts'

/** Serial numbers to one statement. */
const AT_ONCE = 500

export async function postgresParts(
  db: Kysely<Schema>,
  partNumberId: number,
  serials: readonly string[],
): Promise<PartTable[]> {
  const parts: PartTable[] = []
  for (let i = 0; i < serials.length; i += AT_ONCE) {
    const rows = await db
      .selectFrom('part')
      .selectAll()
      .where('part_number_id', '=', partNumberId)
      .where('serial', 'in', serials.slice(i, i + AT_ONCE))
      .execute()
    for (const row of rows) parts.push(row)
  }
  return parts
}
