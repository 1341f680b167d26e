import { randomBytes } from 'node:crypto'
import { type Kysely, sql } from 'kysely'
import { canonicalJson } from '../../canonical.ts'
import { BEFORE_THE_FIRST, entryHash, personalHash } from '../record/entry-hash.ts'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

/** Tables whose rows were there before the record, in the words of the entry that states it. */
const BEFORE = [
  'part_number',
  'characteristic',
  'build',
  'furnace_load',
  'part',
  'measurement',
  'import',
  'withdrawal',
  'study_version',
  'exclusion',
  'finding',
  'remark',
  'factor_decision',
  'report',
  'token',
] as const

/** Those numbered in the order in which they were made. */
const NUMBERED = ['import', 'exclusion', 'finding', 'remark', 'factor_decision', 'report', 'token'] as const

/** The record: entries chained by hash, with triggers that refuse to change or delete them. */
export const record: Migration = {
  version: 500,
  name: 'record',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    await db.schema
      .createTable('record_entry')
      .addColumn('sequence', 'integer', (c) => c.primaryKey())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('about', 'text', (c) => c.notNull())
      .addColumn('details', 'text', (c) => c.notNull())
      .addColumn('personal', 'text', (c) => c.notNull())
      .addColumn('previous', 'text', (c) => c.notNull().unique())
      .addColumn('hash', 'text', (c) => c.notNull().unique())
      .execute()
    await db.schema
      .createTable('record_personal')
      .addColumn('sequence', 'integer', (c) => c.primaryKey().references('record_entry.sequence'))
      .addColumn('who', 'text')
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('salt', 'text', (c) => c.notNull())
      .execute()
    await db.schema
      .createTable('record_about')
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('id', 'integer', (c) => c.notNull())
      .addColumn('sequence', 'integer', (c) => c.notNull().references('record_entry.sequence'))
      .addPrimaryKeyConstraint('record_about_key', ['kind', 'id', 'sequence'])
      .execute()
    await db.schema
      .createTable('record_erased')
      .addColumn('sequence', 'integer', (c) => c.notNull().references('record_entry.sequence'))
      .addColumn('erasure', 'integer', (c) => c.notNull().references('record_entry.sequence'))
      .addColumn('personal', 'text', (c) => c.notNull())
      .addPrimaryKeyConstraint('record_erased_key', ['sequence', 'erasure'])
      .execute()
    await db.schema
      .createIndex('record_entry_kind')
      .on('record_entry')
      .columns(['kind', 'sequence'])
      .execute()
    await db.schema.createIndex('record_entry_at').on('record_entry').columns(['at', 'sequence']).execute()
    await db.schema
      .createIndex('record_personal_who')
      .on('record_personal')
      .columns(['who', 'sequence'])
      .execute()
    await (flavour === 'sqlite' ? guardInSqlite(db) : guardInPostgres(db))
    await begin(db)
  },
}

const REFUSAL = 'entries of the record are never changed or deleted'

async function guardInSqlite(db: Kysely<Schema>): Promise<void> {
  const guard = (table: string, act: 'update' | 'delete', when = '') =>
    sql
      .raw(
        `create trigger ${table}_no_${act} before ${act} on ${table} ${when}
         begin select raise(abort, '${REFUSAL}'); end`,
      )
      .execute(db)
  for (const table of ['record_entry', 'record_about', 'record_erased']) {
    await guard(table, 'update')
    await guard(table, 'delete')
  }
  await guard('record_personal', 'delete')
  // Only what an erasure has listed may be replaced.
  await guard(
    'record_personal',
    'update',
    `when new.sequence <> old.sequence
       or not exists (select 1 from record_erased where record_erased.sequence = old.sequence)`,
  )
}

async function guardInPostgres(db: Kysely<Schema>): Promise<void> {
  await sql
    .raw(
      `create function record_refuse() returns trigger language plpgsql as
       $$ begin raise exception '${REFUSAL}'; end $$`,
    )
    .execute(db)
  await sql
    .raw(
      `create function record_refuse_unlisted() returns trigger language plpgsql as
       $$ begin
         if new.sequence <> old.sequence
           or not exists (select 1 from record_erased where record_erased.sequence = old.sequence)
         then raise exception '${REFUSAL}'; end if;
         return new;
       end $$`,
    )
    .execute(db)
  for (const table of ['record_entry', 'record_about', 'record_erased', 'record_personal']) {
    const acts = table === 'record_personal' ? 'delete' : 'update or delete'
    await sql
      .raw(
        `create trigger ${table}_refuse before ${acts} on ${table} for each row execute function record_refuse()`,
      )
      .execute(db)
    await sql
      .raw(
        `create trigger ${table}_refuse_truncate before truncate on ${table} for each statement execute function record_refuse()`,
      )
      .execute(db)
  }
  await sql
    .raw(
      `create trigger record_personal_refuse_update before update on record_personal
       for each row execute function record_refuse_unlisted()`,
    )
    .execute(db)
}

/** State in a first entry what was there before the record; nothing where nothing was. */
async function begin(db: Kysely<Schema>): Promise<void> {
  const rows: Record<string, number> = {}
  for (const table of BEFORE) {
    const row = await db
      .selectFrom(table)
      .select((eb) => eb.fn.countAll().as('count'))
      .executeTakeFirstOrThrow()
    rows[table] = Number(row.count)
  }
  if (Object.values(rows).every((count) => count === 0)) return
  const last: Record<string, number> = {}
  for (const table of NUMBERED) {
    const row = await db
      .selectFrom(table)
      .select((eb) => eb.fn.max('id').as('id'))
      .executeTakeFirst()
    last[table] = Number(row?.id ?? 0)
  }
  const personal = { who: null, content: '{}', salt: randomBytes(16).toString('hex') }
  const entry = {
    sequence: 1,
    at: Math.floor(Date.now() / 1000),
    kind: 'beginning',
    about: '[]',
    details: canonicalJson({ rows, last }),
    personal: personalHash(personal),
    previous: BEFORE_THE_FIRST,
  }
  await db
    .insertInto('record_entry')
    .values({ ...entry, hash: entryHash(entry) })
    .execute()
  await db
    .insertInto('record_personal')
    .values({ sequence: 1, ...personal })
    .execute()
}
