import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** What people decide: studies, what is left out, findings, remarks. Rows are only ever added. */
export const decisions: Migration = {
  version: 100,
  name: 'decisions',
  async up(db: Kysely<Schema>): Promise<void> {
    const stageKnown = sql`stage in ('green', 'sintered', 'finished')`

    await db.schema
      .createTable('study_version')
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('study', 'text', (c) => c.notNull())
      .addColumn('change', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('study_version_key', ['characteristic_id', 'stage', 'version'])
      .addCheckConstraint('study_version_stage', stageKnown)
      .execute()

    await db.schema
      .createTable('exclusion')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      // No reference to the part: it goes when the import that brought it is withdrawn.
      .addColumn('serial', 'text')
      .addColumn('replicate', 'integer')
      .addColumn('import_id', 'integer', (c) => c.references('import.id'))
      .addColumn('undoes', 'integer', (c) => c.unique().references('exclusion.id'))
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addCheckConstraint('exclusion_stage', stageKnown)
      .execute()
    await db.schema
      .createIndex('exclusion_place')
      .on('exclusion')
      .columns(['characteristic_id', 'stage', 'build_id'])
      .execute()

    await db.schema
      .createTable('finding')
      .addColumn('id', 'integer', (c) => c.notNull())
      .addColumn('revision', 'integer', (c) => c.notNull())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('characteristics', 'text', (c) => c.notNull())
      .addColumn('from_build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('to_build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('cause', 'text', (c) => c.notNull())
      .addColumn('action', 'text', (c) => c.notNull())
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('verified', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('finding_key', ['id', 'revision'])
      .addCheckConstraint('finding_stage', stageKnown)
      .execute()
    await db.schema.createIndex('finding_part_number').on('finding').column('part_number_id').execute()

    await db.schema
      .createTable('remark')
      .addColumn('id', 'integer', (c) => c.notNull())
      .addColumn('revision', 'integer', (c) => c.notNull())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('text', 'text')
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('remark_key', ['id', 'revision'])
      .execute()
    await db.schema.createIndex('remark_part_number').on('remark').column('part_number_id').execute()
  },
}
