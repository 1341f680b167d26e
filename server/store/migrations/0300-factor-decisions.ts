import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Scale factors that people decided on, with what was expected of them. Rows are only ever added. */
export const factorDecisions: Migration = {
  version: 300,
  name: 'factor decisions',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('factor_decision')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      // A name, for the build need not be on record yet.
      .addColumn('first_build', 'text', (c) => c.notNull())
      .addColumn('after_build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
    await db.schema
      .createIndex('factor_decision_part_number')
      .on('factor_decision')
      .column('part_number_id')
      .execute()
  },
}
