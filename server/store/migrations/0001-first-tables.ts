import { type Kysely, sql } from 'kysely'
import { createPostgresTables } from '../postgres/tables.ts'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

export const firstTables: Migration = {
  version: 1,
  name: 'first tables',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    const stageKnown = sql`stage in ('green', 'sintered', 'finished')`

    await db.schema
      .createTable('part_number')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('number', 'text', (c) => c.notNull())
      .addColumn('revision', 'text', (c) => c.notNull())
      .addColumn('name', 'text')
      .addUniqueConstraint('part_number_named', ['number', 'revision'])
      .execute()

    await db.schema
      .createTable('characteristic')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('designator', 'text', (c) => c.notNull())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('nominal', 'double precision')
      .addColumn('lower', 'double precision')
      .addColumn('upper', 'double precision')
      .addColumn('unit', 'text', (c) => c.notNull())
      .addColumn('axis', 'text')
      .addUniqueConstraint('characteristic_designated', ['part_number_id', 'designator'])
      .addCheckConstraint('characteristic_limits', sql`lower <= upper`)
      .execute()

    await db.schema
      .createTable('build')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull().unique())
      .addColumn('printed_at', 'bigint')
      .addColumn('printer', 'text')
      .addColumn('build_box', 'text')
      .addColumn('powder_lot', 'text')
      .addColumn('powder_reuse', 'integer')
      .addColumn('scale_x', 'double precision')
      .addColumn('scale_y', 'double precision')
      .addColumn('scale_z', 'double precision')
      .addColumn('conditions', 'text', (c) => c.notNull())
      .execute()

    await db.schema
      .createTable('furnace_load')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull().unique())
      .addColumn('sintered_at', 'bigint')
      .addColumn('furnace', 'text')
      .addColumn('profile', 'text')
      .addColumn('atmosphere', 'text')
      .addColumn('conditions', 'text', (c) => c.notNull())
      .execute()

    await db.schema
      .createTable('part')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('serial', 'text', (c) => c.notNull())
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('bed_x', 'double precision')
      .addColumn('bed_y', 'double precision')
      .addColumn('bed_z', 'double precision')
      .addColumn('furnace_load_id', 'integer', (c) => c.references('furnace_load.id'))
      .addColumn('tray', 'text')
      .addColumn('tray_place', 'text')
      .addColumn('stages', 'integer', (c) => c.notNull())
      .addUniqueConstraint('part_serial', ['part_number_id', 'serial'])
      .execute()

    for (const table of ['gauge', 'inspector'] as const) {
      await db.schema
        .createTable(table)
        .addColumn('id', 'integer', (c) => c.primaryKey())
        .addColumn('name', 'text', (c) => c.notNull().unique())
        .execute()
    }

    await db.schema
      .createTable('import')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('sha256', 'text', (c) => c.notNull().unique())
      .addColumn('file_name', 'text', (c) => c.notNull())
      .addColumn('bytes', 'bigint', (c) => c.notNull())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('verdict', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addColumn('rows_read', 'integer', (c) => c.notNull())
      .addColumn('rows_taken', 'integer', (c) => c.notNull())
      .addColumn('rows_refused', 'integer', (c) => c.notNull())
      .addColumn('out_of_specification', 'integer', (c) => c.notNull())
      .addColumn('receipt', 'text', (c) => c.notNull())
      .execute()

    await db.schema
      .createTable('cell')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('furnace_load_id', 'integer', (c) => c.references('furnace_load.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('n', 'integer', (c) => c.notNull())
      .addColumn('mean', 'double precision', (c) => c.notNull())
      .addColumn('m2', 'double precision', (c) => c.notNull())
      .addColumn('min', 'double precision', (c) => c.notNull())
      .addColumn('max', 'double precision', (c) => c.notNull())
      .addCheckConstraint('cell_stage', stageKnown)
      .execute()
    // A unique constraint lets nulls differ, so an absent furnace load has to be made comparable first.
    await db.schema
      .createIndex('cell_place')
      .unique()
      .on('cell')
      .columns(['characteristic_id', 'stage', 'build_id'])
      .expression(sql`coalesce(furnace_load_id, 0)`)
      .execute()
    await db.schema.createIndex('cell_build').on('cell').column('build_id').execute()

    if (flavour === 'postgres') await createPostgresTables(db)
    else await createMeasurements(db)

    await db.schema
      .createTable('measured_build')
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('parts', 'integer', (c) => c.notNull())
      .addPrimaryKeyConstraint('measured_build_key', ['part_number_id', 'stage', 'build_id'])
      .addCheckConstraint('measured_build_stage', stageKnown)
      .execute()

    await db.schema
      .createTable('build_gauge')
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('gauge_id', 'integer', (c) => c.notNull().references('gauge.id'))
      .addPrimaryKeyConstraint('build_gauge_key', ['part_number_id', 'stage', 'build_id', 'gauge_id'])
      .addCheckConstraint('build_gauge_stage', stageKnown)
      .execute()
  },
}

async function createMeasurements(db: Kysely<Schema>): Promise<void> {
  // The key is the order in which the rows lie on disk: reading a subgroup reads one stretch of pages. No
  // further index, since at ten million rows each would cost a third of the table again.
  await db.schema
    .createTable('measurement')
    .addColumn('cell_id', 'integer', (c) => c.notNull().references('cell.id'))
    .addColumn('part_id', 'integer', (c) => c.notNull().references('part.id'))
    .addColumn('replicate', 'integer', (c) => c.notNull())
    .addColumn('value', 'double precision', (c) => c.notNull())
    .addColumn('gauge_id', 'integer', (c) => c.references('gauge.id'))
    .addColumn('inspector_id', 'integer', (c) => c.references('inspector.id'))
    .addColumn('measured_at', 'bigint')
    .addColumn('import_id', 'integer', (c) => c.notNull().references('import.id'))
    .addColumn('line', 'integer', (c) => c.notNull())
    .addPrimaryKeyConstraint('measurement_key', ['cell_id', 'part_id', 'replicate'])
    .modifyEnd(sql`without rowid`)
    .execute()
}
