import { existsSync, readdirSync } from 'node:fs'
import { copyFile, mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { now } from '../clock.ts'
import { hashOfFile, verifyRecord } from '../store/record/verify-record.ts'
import { copySqlite } from '../store/sqlite/backup.ts'
import { readFile } from '../store/sqlite/read-file.ts'
import { HASH_LENGTH } from '../store/withdrawals.ts'
import { sync } from '../sync.ts'
import { BackupError, DATABASE_FILE, FILES_FOLDER, MANIFEST, type Manifest } from './manifest.ts'

export interface BackupWanted {
  /** The SQLite file. */
  readonly database: string
  /** Folder of the kept files. */
  readonly filesFolder: string
  /** Folder of the backup: not there yet, or empty. */
  readonly to: string
  /** Name the kept files with their hashes and leave them where they are. */
  readonly withoutFiles: boolean
}

/**
 * Back up database and kept files while the program runs, and read the backup once more. It is one state of the database;
 * files are kept before the transaction that speaks of them, so that every file of that state is there to be copied.
 *
 * @throws BackupError where something is in the folder, or what was written is not as it should be
 */
export async function makeBackup({
  database,
  filesFolder,
  to,
  withoutFiles,
}: BackupWanted): Promise<Manifest> {
  if (!existsSync(database)) throw new BackupError(`There is no database at ${database}.`)
  requireEmpty(to)
  await mkdir(join(to, FILES_FOLDER), { recursive: true })
  const copy = join(to, DATABASE_FILE)
  await copySqlite(database, copy)
  const { head, hashes } = await contents(copy)
  const files: string[] = []
  const filesNotHeld: string[] = []
  for (const sha256 of hashes) {
    const kept = join(filesFolder, sha256)
    if (withoutFiles || !existsSync(kept)) {
      filesNotHeld.push(sha256)
      continue
    }
    const target = join(to, FILES_FOLDER, sha256)
    await copyFile(kept, target)
    await sync(target)
    if ((await hashOfFile(target)) !== sha256) {
      throw new BackupError(
        `The kept file ${sha256} is not as it was taken in. Run verify-record to see which import it is, and take it from an older backup.`,
      )
    }
    files.push(sha256)
  }
  await sync(join(to, FILES_FOLDER))
  await sync(copy)
  const stated: Manifest = {
    kind: 'as-sintered backup',
    version: 1,
    madeAt: now(),
    database: (await hashOfFile(copy)) as string,
    head,
    files,
    filesNotHeld,
  }
  await writeFile(join(to, MANIFEST), `${JSON.stringify(stated, null, 2)}\n`)
  await sync(join(to, MANIFEST))
  await sync(to)
  return stated
}

/** Head of the record and hashes of the kept files, from a copy of the database, which is left as it is. */
async function contents(copy: string) {
  return await readFile(copy, async (db) => {
    const tables = new Set((await db.introspection.getTables()).map(({ name }) => name))
    const imports = tables.has('import') ? await db.selectFrom('import').select('sha256').execute() : []
    const hashes = new Set(imports.map(({ sha256 }) => sha256.slice(0, HASH_LENGTH)))
    // A database of before the record has none to verify.
    if (!tables.has('record_entry')) return { head: null, hashes }
    const { head, faults, faultCount } = await verifyRecord(db)
    if (faultCount > 0) {
      throw new BackupError(
        `The record is not as it was written: ${faults[0]?.what} The backup was not finished; verify-record says the rest.`,
      )
    }
    return { head, hashes }
  })
}

/** @throws BackupError where something is in the folder */
export function requireEmpty(folder: string): void {
  if (existsSync(folder) && readdirSync(folder).length > 0) {
    throw new BackupError(`Something is in ${folder} already. Give a folder that is empty or not there yet.`)
  }
}
