import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** The register of gauges, plans and studies; readings are kept apart from the measurements of parts. */
export const gaugeStudies: Migration = {
  version: 900,
  name: 'gauge studies',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('gauge_entry')
      .addColumn('gauge_id', 'integer', (c) => c.notNull().references('gauge.id'))
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('gauge_entry_key', ['gauge_id', 'version'])
      .execute()

    await db.schema
      .createTable('gauge_plan')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('characteristic_id', 'integer', (c) => c.references('characteristic.id'))
      .addColumn('gauge_id', 'integer', (c) => c.references('gauge.id'))
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()

    await db.schema
      .createTable('gauge_study')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('import_id', 'integer', (c) => c.notNull().references('import.id'))
      .addColumn('plan_id', 'integer', (c) => c.references('gauge_plan.id'))
      .addColumn('characteristic_id', 'integer', (c) => c.references('characteristic.id'))
      .execute()
    await db.schema.createIndex('gauge_study_import').on('gauge_study').column('import_id').execute()
    await db.schema
      .createIndex('gauge_study_characteristic')
      .on('gauge_study')
      .column('characteristic_id')
      .execute()

    await db.schema
      .createTable('gauge_reading')
      .addColumn('study_id', 'integer', (c) => c.notNull().references('gauge_study.id'))
      .addColumn('number', 'integer', (c) => c.notNull())
      .addColumn('line', 'integer', (c) => c.notNull())
      .addColumn('part', 'text', (c) => c.notNull())
      .addColumn('inspector', 'text', (c) => c.notNull())
      .addColumn('trial', 'integer')
      .addColumn('value', 'double precision', (c) => c.notNull())
      .addColumn('gauge_id', 'integer', (c) => c.references('gauge.id'))
      .addColumn('reference', 'double precision')
      .addColumn('measured_at', 'bigint')
      .addPrimaryKeyConstraint('gauge_reading_key', ['study_id', 'number'])
      .execute()
  },
}
