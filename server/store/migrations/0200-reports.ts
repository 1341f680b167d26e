import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Reports made, and the hashes of the files made of them. */
export const reports: Migration = {
  version: 200,
  name: 'reports',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('report')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('title', 'text', (c) => c.notNull())
      .addColumn('fingerprint', 'text', (c) => c.notNull())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
    await db.schema
      .createTable('report_copy')
      .addColumn('sha256', 'text', (c) => c.primaryKey())
      .addColumn('report_id', 'integer', (c) => c.notNull().references('report.id'))
      .addColumn('format', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
  },
}
