import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

/**
 * When cells of a build changed last, so that whoever holds all cells of a part number reads those of a few builds anew
 * instead of all. Noted by triggers: no way of writing cells, now or later, passes by them.
 *
 * SQLite, where one transaction writes at a time, counts by entries of the record: what is written now comes before the
 * entry that is not there yet. PostgreSQL, where several do, takes the number of the transaction.
 */
export const cellChanges: Migration = {
  version: 1035,
  name: 'changes of cells',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    await db.schema
      .createTable('cell_change')
      .addColumn('part_number_id', 'integer', (c) => c.notNull())
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('build_id', 'integer', (c) => c.notNull())
      .addColumn('change', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('cell_change_key', ['part_number_id', 'stage', 'build_id'])
      .execute()
    await db.schema
      .createIndex('cell_change_latest')
      .on('cell_change')
      .columns(['part_number_id', 'stage', 'change'])
      .execute()
    await (flavour === 'postgres' ? noteInPostgres(db) : noteInSqlite(db))
  },
}

async function noteInSqlite(db: Kysely<Schema>): Promise<void> {
  for (const [event, row] of [
    ['insert', 'new'],
    ['update', 'new'],
    ['delete', 'old'],
  ] as const) {
    await sql
      .raw(`create trigger cell_change_${event} after ${event} on cell begin
        insert into cell_change (part_number_id, stage, build_id, change)
        select part_number_id, ${row}.stage, ${row}.build_id,
          (select coalesce(max(sequence), 0) + 1 from record_entry)
        from characteristic where id = ${row}.characteristic_id
        on conflict (part_number_id, stage, build_id) do update set change = excluded.change
        where change <> excluded.change;
      end`)
      .execute(db)
  }
}

async function noteInPostgres(db: Kysely<Schema>): Promise<void> {
  await sql`create function note_cell_change() returns trigger language plpgsql as $$
    begin
      insert into cell_change (part_number_id, stage, build_id, change)
      select distinct characteristic.part_number_id, touched.stage, touched.build_id,
        pg_current_xact_id()::text::bigint
      from touched join characteristic on characteristic.id = touched.characteristic_id
      on conflict (part_number_id, stage, build_id) do update set change = excluded.change
      where cell_change.change <> excluded.change;
      return null;
    end $$`.execute(db)
  for (const [event, rows] of [
    ['insert', 'new'],
    ['update', 'new'],
    ['delete', 'old'],
  ] as const) {
    await sql
      .raw(`create trigger cell_change_${event} after ${event} on cell
        referencing ${rows} table as touched for each statement execute function note_cell_change()`)
      .execute(db)
  }
}
