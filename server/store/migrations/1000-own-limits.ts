import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Limits of a part's own, apart from the measurements, so that those without any stay as short as they are. */
export const ownLimits: Migration = {
  version: 1000,
  name: 'limits of a part’s own',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema.alterTable('characteristic').addColumn('own_limits', 'text').execute()
    await db.schema
      .createTable('own_limits')
      .addColumn('part_id', 'integer', (c) => c.notNull().references('part.id'))
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('replicate', 'integer', (c) => c.notNull())
      .addColumn('import_id', 'integer', (c) => c.notNull().references('import.id'))
      .addColumn('measured', 'double precision', (c) => c.notNull())
      .addColumn('lower', 'double precision')
      .addColumn('upper', 'double precision')
      .addPrimaryKeyConstraint('own_limits_key', ['part_id', 'characteristic_id', 'stage', 'replicate'])
      .addCheckConstraint('own_limits_stage', sql`stage in ('green', 'sintered', 'finished')`)
      .addCheckConstraint('own_limits_given', sql`coalesce(lower, upper) is not null`)
      .execute()
    for (const column of ['measured', 'own_lower', 'own_upper'] as const) {
      await db.schema.alterTable('withdrawn_measurement').addColumn(column, 'double precision').execute()
    }
  },
}
