import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

export const layoutsAndWithdrawals: Migration = {
  version: 3,
  name: 'layouts and withdrawals',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('layout')
      .addColumn('fingerprint', 'text', (c) => c.primaryKey())
      .addColumn('choices', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()

    await db.schema
      .createTable('withdrawal')
      .addColumn('import_id', 'integer', (c) => c.primaryKey().references('import.id'))
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()

    // By serial number and not by part: a part of which nothing else is measured goes with its values.
    await db.schema
      .createTable('withdrawn_measurement')
      .addColumn('import_id', 'integer', (c) => c.notNull().references('import.id'))
      .addColumn('number', 'integer', (c) => c.notNull())
      .addColumn('line', 'integer', (c) => c.notNull())
      .addColumn('serial', 'text', (c) => c.notNull())
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('furnace_load_id', 'integer', (c) => c.references('furnace_load.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('replicate', 'integer', (c) => c.notNull())
      .addColumn('value', 'double precision', (c) => c.notNull())
      .addColumn('gauge_id', 'integer', (c) => c.references('gauge.id'))
      .addColumn('inspector_id', 'integer', (c) => c.references('inspector.id'))
      .addColumn('measured_at', 'bigint')
      .addPrimaryKeyConstraint('withdrawn_measurement_key', ['import_id', 'number'])
      .addCheckConstraint('withdrawn_measurement_stage', sql`stage in ('green', 'sintered', 'finished')`)
      .execute()
  },
}
