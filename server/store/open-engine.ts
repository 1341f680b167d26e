import { existsSync, renameSync } from 'node:fs'
import { dirname, join, parse } from 'node:path'
import { openOwnFolder, removeAbandoned } from '../own-folder.ts'
import { sync } from '../sync.ts'
import type { Engine } from './engine.ts'
import { DamagedDatabaseError } from './errors.ts'
import type { StoreLocation } from './location.ts'
import { migrate, SCHEMA_VERSION, schemaVersion } from './migrate.ts'
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
  const engine = 'file' in location ? openFile(location.file) : await openServer(location)
  try {
    await bringUp(engine, location)
  } catch (error) {
    await engine.close()
    throw error
  }
  return engine
}

/** The driver is loaded where it is needed only: each thread that opens a store would hold it in memory. */
async function openServer(location: { readonly connection: string }): Promise<Engine> {
  const { openPostgres } = await import('./postgres/engine.ts')
  return await openPostgres(location)
}

function openFile(file: string): Engine {
  try {
    return openSqlite(file)
  } catch (error) {
    throw isDamage(error) ? new DamagedDatabaseError(file, (error as Error).message) : error
  }
}

async function bringUp(engine: Engine, location: StoreLocation): Promise<void> {
  const file = 'file' in location ? location.file : null
  // Looked at first without the right to write, so that opening never waits for a running import.
  const version = await schemaVersion(engine.db)
  if (version >= SCHEMA_VERSION) {
    // Whoever was killed at its copy may have been overtaken by another.
    if (file !== null && existsSync(copying(file))) removeAbandoned(copying(file))
    return
  }
  if (version > 0 && file !== null) await backUp(file, version)
  const transaction = await engine.begin('alone')
  try {
    await migrate(transaction.db, engine.flavour)
    await transaction.commit(false)
  } catch (error) {
    await transaction.rollback()
    throw error
  }
}

/** Where copies grow until they are whole. */
function copying(file: string): string {
  return join(dirname(file), 'being-copied')
}

/** Copy a database beside itself as it stands before it is brought up. */
async function backUp(file: string, version: number): Promise<void> {
  const { dir, name } = parse(file)
  const moment = new Date().toISOString().slice(0, 19).replaceAll(':', '-')
  const copy = join(dir, `${name}-${moment}-version-${version}.sqlite`)
  // In a folder of its own first: several threads or programs may open it at a time, and one may be killed.
  const own = openOwnFolder(copying(file))
  try {
    const growing = join(own.path, 'copy.sqlite')
    await copySqlite(file, growing)
    // Otherwise another has brought it up meanwhile, after a copy of its own.
    if ((await readFile(growing, schemaVersion)) !== version) return
    renameSync(growing, copy)
    await sync(dir === '' ? '.' : dir)
  } finally {
    own.close()
  }
}
