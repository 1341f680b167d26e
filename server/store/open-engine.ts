import type { Engine } from './engine.ts'
import type { StoreLocation } from './location.ts'
import { migrate, SCHEMA_VERSION, schemaVersion } from './migrate.ts'
import { openPostgres } from './postgres/engine.ts'
import { openSqlite } from './sqlite/engine.ts'

/**
 * Open the database of a location, creating or bringing up its tables.
 *
 * @throws NewerDatabaseError where a later version of the program wrote it; nothing is changed then
 * @throws DatabaseUnreachableError where its server does not answer or refuses the user
 */
export async function openEngine(location: StoreLocation): Promise<Engine> {
  const engine = 'file' in location ? openSqlite(location.file) : await openPostgres(location)
  try {
    await bringUp(engine)
  } catch (error) {
    await engine.close()
    throw error
  }
  return engine
}

async function bringUp(engine: Engine): Promise<void> {
  // Looked at first without the right to write, so that opening never waits for a running import.
  if ((await schemaVersion(engine.db)) >= SCHEMA_VERSION) return
  const transaction = await engine.begin('alone')
  try {
    await migrate(transaction.db, engine.flavour)
    await transaction.commit()
  } catch (error) {
    await transaction.rollback()
    throw error
  }
}
