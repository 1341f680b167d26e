import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Which furnace loads took parts of a build, so that a timeline need not look at every cell of a part number. */
export const buildLoads: Migration = {
  version: 1030,
  name: 'furnace loads of builds',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('build_load')
      .addColumn('build_id', 'integer', (c) => c.notNull().references('build.id'))
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('furnace_load_id', 'integer', (c) => c.notNull().references('furnace_load.id'))
      .addPrimaryKeyConstraint('build_load_key', ['part_number_id', 'stage', 'build_id', 'furnace_load_id'])
      .addCheckConstraint('build_load_stage', sql`stage in ('green', 'sintered', 'finished')`)
      .execute()
    await sql`
      insert into build_load (build_id, part_number_id, stage, furnace_load_id)
      select distinct cell.build_id, characteristic.part_number_id, cell.stage, cell.furnace_load_id
      from cell join characteristic on characteristic.id = cell.characteristic_id
      where cell.furnace_load_id is not null`.execute(db)
  },
}
