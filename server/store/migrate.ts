import type { Kysely } from 'kysely'
import { NewerDatabaseError } from './errors.ts'
import { firstTables } from './migrations/0001-first-tables.ts'
import { tokens } from './migrations/0002-tokens.ts'
import { layoutsAndWithdrawals } from './migrations/0003-layouts-and-withdrawals.ts'
import type { Flavour, Migration } from './migrations/migration.ts'
import type { Schema } from './schema.ts'

/** All steps in order; the last one's number is the version this program writes. */
const MIGRATIONS: readonly Migration[] = [firstTables, tokens, layoutsAndWithdrawals]

/** Version that a database has once this program has opened it. */
export const SCHEMA_VERSION = MIGRATIONS.length

/**
 * Version of the database as it stands; 0 where it is empty.
 *
 * @throws NewerDatabaseError where the database is ahead of the program
 */
export async function schemaVersion(db: Kysely<Schema>): Promise<number> {
  const tables = await db.introspection.getTables()
  if (!tables.some((table) => table.name === 'schema_version')) return 0
  const row = await db
    .selectFrom('schema_version')
    .select((eb) => eb.fn.max('version').as('version'))
    .executeTakeFirst()
  const found = row?.version ?? 0
  if (found > SCHEMA_VERSION) throw new NewerDatabaseError(found, SCHEMA_VERSION)
  return found
}

/**
 * Bring the database up to the version of this program. To be called inside a write transaction, so that
 * either all steps are done or none.
 *
 * @throws NewerDatabaseError where the database is ahead of the program
 */
export async function migrate(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
  const found = await schemaVersion(db)
  if (found === 0) {
    await db.schema
      .createTable('schema_version')
      .addColumn('version', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('applied_at', 'bigint', (c) => c.notNull())
      .execute()
  }
  for (const migration of MIGRATIONS) {
    if (migration.version <= found) continue
    await migration.up(db, flavour)
    await db
      .insertInto('schema_version')
      .values({
        version: migration.version,
        name: migration.name,
        applied_at: Math.floor(Date.now() / 1000),
      })
      .execute()
  }
}
