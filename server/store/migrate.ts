import type { Kysely } from 'kysely'
import { now } from '../clock.ts'
import { NewerDatabaseError } from './errors.ts'
import { firstTables } from './migrations/0001-first-tables.ts'
import { tokens } from './migrations/0002-tokens.ts'
import { layoutsAndWithdrawals } from './migrations/0003-layouts-and-withdrawals.ts'
import { cellBuckets } from './migrations/0004-cell-buckets.ts'
import { decisions } from './migrations/0100-decisions.ts'
import { reports } from './migrations/0200-reports.ts'
import { factorDecisions } from './migrations/0300-factor-decisions.ts'
import { shrinkageSettings } from './migrations/0301-shrinkage-settings.ts'
import { repeats } from './migrations/0400-repeats.ts'
import { record } from './migrations/0500-record.ts'
import { recordIndex } from './migrations/0501-record-index.ts'
import { people } from './migrations/0600-people.ts'
import { eventNotices } from './migrations/0700-event-notices.ts'
import { customerRequirements } from './migrations/0800-customer-requirements.ts'
import { gaugeStudies } from './migrations/0900-gauge-studies.ts'
import { ownLimits } from './migrations/1000-own-limits.ts'
import { ownLimitsByKey } from './migrations/1001-own-limits-by-key.ts'
import { buildLoads } from './migrations/1030-build-loads.ts'
import { cellChanges } from './migrations/1035-cell-changes.ts'
import { commitsAside } from './migrations/1130-commits-aside.ts'
import type { Flavour, Migration } from './migrations/migration.ts'
import { appendEntry } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** All steps in order; the last one's number is the version this program writes. */
const MIGRATIONS: readonly Migration[] = [
  firstTables,
  tokens,
  layoutsAndWithdrawals,
  cellBuckets,
  decisions,
  reports,
  factorDecisions,
  shrinkageSettings,
  repeats,
  record,
  recordIndex,
  people,
  eventNotices,
  customerRequirements,
  gaugeStudies,
  ownLimits,
  ownLimitsByKey,
  buildLoads,
  cellChanges,
  commitsAside,
]

/** Version that a database has once this program has opened it. */
export const SCHEMA_VERSION = Math.max(...MIGRATIONS.map((migration) => migration.version))

/**
 * Version of the database as it stands: the last step up to which all are done; 0 where it is empty.
 *
 * @throws NewerDatabaseError where the database is ahead of the program
 */
export async function schemaVersion(db: Kysely<Schema>): Promise<number> {
  const done = await stepsDone(db)
  let version = 0
  for (const migration of MIGRATIONS) {
    if (!done.has(migration.version)) break
    version = migration.version
  }
  return version
}

/** @throws NewerDatabaseError where there is one that the program does not know */
async function stepsDone(db: Kysely<Schema>): Promise<ReadonlySet<number>> {
  const tables = await db.introspection.getTables()
  if (!tables.some((table) => table.name === 'schema_version')) return new Set()
  const rows = await db.selectFrom('schema_version').select('version').execute()
  const done = new Set(rows.map((row) => row.version))
  const known = new Set(MIGRATIONS.map((migration) => migration.version))
  for (const version of done) {
    if (!known.has(version)) throw new NewerDatabaseError(version, SCHEMA_VERSION)
  }
  return done
}

/**
 * Bring the database up to the version of this program. To be called inside a write transaction, so that
 * either all steps are done or none.
 *
 * @throws NewerDatabaseError where the database is ahead of the program
 */
export async function migrate(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
  const done = await stepsDone(db)
  if (done.size === 0) {
    await db.schema
      .createTable('schema_version')
      .addColumn('version', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('applied_at', 'bigint', (c) => c.notNull())
      .execute()
  }
  const at = now()
  const steps = MIGRATIONS.filter((migration) => !done.has(migration.version))
  for (const migration of steps) {
    await migration.up(db, flavour)
    await db
      .insertInto('schema_version')
      .values({
        version: migration.version,
        name: migration.name,
        applied_at: at,
      })
      .execute()
  }
  // A new database begins without entries, so that another can be copied into it.
  if (done.size === 0 || steps.length === 0) return
  await appendEntry(db, {
    kind: 'schema',
    at,
    who: null,
    about: [],
    details: { from: Math.max(...done), steps: steps.map(({ version }) => version) },
  })
}
