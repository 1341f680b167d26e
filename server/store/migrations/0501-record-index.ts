import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** What entries are about, found by entry: verification looks at one stretch of entries after another. */
export const recordIndex: Migration = {
  version: 501,
  name: 'record index',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema.createIndex('record_about_sequence').on('record_about').column('sequence').execute()
  },
}
