import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

export const tokens: Migration = {
  version: 2,
  name: 'tokens',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('token')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull().unique())
      .addColumn('sha256', 'text', (c) => c.notNull().unique())
      .addColumn('created_at', 'bigint', (c) => c.notNull())
      .addColumn('revoked_at', 'bigint')
      .execute()
  },
}
