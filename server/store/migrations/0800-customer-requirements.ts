import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** What the customer asks of a part number, by version. Rows are only ever added. */
export const customerRequirements: Migration = {
  version: 800,
  name: 'customer requirements',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('customer_requirements')
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('customer_requirements_key', ['part_number_id', 'version'])
      .execute()
  },
}
