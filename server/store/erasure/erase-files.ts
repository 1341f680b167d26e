import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import { HASH_LENGTH } from '../withdrawals.ts'
import type { Taken } from './erasure-writes.ts'

/** What stands in the place of a file's name. */
const ERASED_NAME = 'erased file'

/**
 * Kept files of imports: their names and what receipts spell out of them go here, their bytes once this is committed.
 * What was measured stays.
 */
export async function eraseFiles(db: Kysely<Schema>, imports: readonly number[]): Promise<Taken | null> {
  if (imports.length === 0) return null
  const rows = await db
    .selectFrom('import')
    .where('id', 'in', imports)
    .select(['id', 'sha256', 'receipt'])
    .execute()
  if (rows.length === 0) return null
  for (const { id, receipt } of rows) {
    const { nonconforming: _, doubts: __, ...kept } = JSON.parse(receipt) as Record<string, unknown>
    const scrubbed = JSON.stringify({ ...kept, fileName: ERASED_NAME, refused: [] })
    await db
      .updateTable('import')
      .set({ file_name: ERASED_NAME, receipt: scrubbed })
      .where('id', '=', id)
      .execute()
  }
  const entries = await db
    .selectFrom('record_about')
    .innerJoin('record_entry', 'record_entry.sequence', 'record_about.sequence')
    .where('record_about.kind', '=', 'import')
    .where(
      'record_about.id',
      'in',
      rows.map(({ id }) => id),
    )
    .where('record_entry.kind', '=', 'import')
    .select('record_entry.sequence')
    .execute()
  return {
    about: rows.map(({ id }) => ({ kind: 'import', id })),
    details: { files: rows.map(({ sha256 }) => sha256.slice(0, HASH_LENGTH)), rows: rows.length },
    entries: entries.map(({ sequence }) => sequence),
    without: ({ who, content }) => ({
      who,
      content: content.fileName === undefined ? content : { ...content, fileName: ERASED_NAME },
    }),
    tables: new Set(['import']),
  }
}
