import { renameSync, rmSync } from 'node:fs'
import { join, parse } from 'node:path'
import { threadId } from 'node:worker_threads'
import type { Engine } from './engine.ts'
import { DamagedDatabaseError } from './errors.ts'
import type { StoreLocation } from './location.ts'
import { migrate, SCHEMA_VERSION, schemaVersion } from './migrate.ts'
import { openPostgres } from './postgres/engine.ts'
import { copySqlite, isDamage } from './sqlite/backup.ts'
import { openSqlite } from './sqlite/engine.ts'
import { readFile } from './sqlite/read-file.ts'

/**
 * Open the database of a location, creating or bringing up its tables.
 *
 * An SQLite database that has to be brought up is copied first, to a file beside it that names its version.
 *
 * @throws DamagedDatabaseError where the file is not one of SQLite's any more
 * @throws NewerDatabaseError where a later version of the program wrote it; nothing is changed then
 * @throws DatabaseUnreachableError where its server does not answer or refuses the user
 */
export async function openEngine(location: StoreLocation): Promise<Engine> {
  const engine = 'file' in location ? openFile(location.file) : await openPostgres(location)
  try {
    await bringUp(engine, location)
  } catch (error) {
    await engine.close()
    throw error
  }
  return engine
}

function openFile(file: string): Engine {
  try {
    return openSqlite(file)
  } catch (error) {
    throw isDamage(error) ? new DamagedDatabaseError(file, (error as Error).message) : error
  }
}

async function bringUp(engine: Engine, location: StoreLocation): Promise<void> {
  // Looked at first without the right to write, so that opening never waits for a running import.
  const version = await schemaVersion(engine.db)
  if (version >= SCHEMA_VERSION) return
  if (version > 0 && 'file' in location) await backUp(location.file, version)
  const transaction = await engine.begin('alone')
  try {
    await migrate(transaction.db, engine.flavour)
    await transaction.commit()
  } catch (error) {
    await transaction.rollback()
    throw error
  }
}

/** Copy a database beside itself as it stands before it is brought up. */
async function backUp(file: string, version: number): Promise<void> {
  const { dir, name } = parse(file)
  const moment = new Date().toISOString().slice(0, 19).replaceAll(':', '-')
  const copy = join(dir, `${name}-${moment}-version-${version}.sqlite`)
  // Under a name of its own first: several threads or programs may open it at a time.
  const part = `${copy}.${process.pid}-${threadId}.part`
  await copySqlite(file, part)
  const isStill = (await readFile(part, schemaVersion)) === version
  // Otherwise another has brought it up meanwhile, after a copy of its own.
  if (isStill) renameSync(part, copy)
  else rmSync(part)
}
