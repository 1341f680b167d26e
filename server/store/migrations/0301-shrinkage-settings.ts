import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** How shrinkage is fitted and advised, by version; and factor decisions that were taken back. Rows are only ever added. */
export const shrinkageSettings: Migration = {
  version: 301,
  name: 'shrinkage settings',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('shrinkage_settings')
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('shrinkage_settings_key', ['part_number_id', 'version'])
      .execute()
    await db.schema
      .createTable('factor_decision_taken_back')
      .addColumn('decision_id', 'integer', (c) => c.primaryKey().references('factor_decision.id'))
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
  },
}
