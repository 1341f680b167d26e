import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

/** Cells taken in before are counted when they next change; until then their values are read one by one. */
export const cellBuckets: Migration = {
  version: 4,
  name: 'counts in buckets',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    await db.schema
      .createTable('cell_buckets')
      .addColumn('cell_id', 'integer', (c) => c.primaryKey().references('cell.id').onDelete('cascade'))
      .addColumn('buckets', flavour === 'sqlite' ? 'blob' : 'bytea', (c) => c.notNull())
      .execute()
  },
}
