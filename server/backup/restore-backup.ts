import { existsSync, readFileSync } from 'node:fs'
import { copyFile, mkdir } from 'node:fs/promises'
import { join } from 'node:path'
import type { RecordVerification } from '../contract/record.ts'
import { hashOfFile } from '../store/record/verify-record.ts'
import { integrityFault } from '../store/sqlite/backup.ts'
import { openStore } from '../store/store.ts'
import { sync } from '../sync.ts'
import { requireEmpty } from './make-backup.ts'
import { BackupError, DATABASE_FILE, FILES_FOLDER, MANIFEST, type Manifest, manifest } from './manifest.ts'

export interface Restored {
  readonly manifest: Manifest
  readonly verification: RecordVerification
}

/**
 * Put a backup into an empty data folder: everything in it is checked against what it states, copied, and the record is
 * walked. A database of an older program is brought up on the way.
 *
 * @throws BackupError where the backup is not whole, or the folder holds something
 */
export async function restoreBackup(from: string, dataFolder: string): Promise<Restored> {
  const stated = statedBy(from)
  requireEmpty(dataFolder)
  const database = join(from, DATABASE_FILE)
  await requireHash(database, stated.database)
  const fault = integrityFault(database, 'whole')
  if (fault !== null) throw new BackupError(`The database of the backup is damaged: ${fault}`)
  for (const sha256 of stated.files) await requireHash(join(from, FILES_FOLDER, sha256), sha256)
  await mkdir(join(dataFolder, FILES_FOLDER), { recursive: true })
  for (const sha256 of stated.files) {
    const target = join(dataFolder, FILES_FOLDER, sha256)
    await copyFile(join(from, FILES_FOLDER, sha256), target)
    await sync(target)
  }
  await sync(join(dataFolder, FILES_FOLDER))
  // The database last: without it the folder is an empty one still.
  const restored = join(dataFolder, DATABASE_FILE)
  await copyFile(database, restored)
  await sync(restored)
  await sync(dataFolder)
  const store = await openStore({ file: restored })
  try {
    // What the backup does not hold cannot be looked for.
    const filesFolder = stated.filesNotHeld.length === 0 ? join(dataFolder, FILES_FOLDER) : null
    const expect = stated.head?.hash
    return { manifest: stated, verification: await store.verifyRecord({ expect, filesFolder }) }
  } finally {
    await store.close()
  }
}

function statedBy(folder: string): Manifest {
  const path = join(folder, MANIFEST)
  if (!existsSync(path)) {
    throw new BackupError(
      `There is no ${MANIFEST} in ${folder}: it is no backup, or one that was not finished.`,
    )
  }
  try {
    return manifest.parse(JSON.parse(readFileSync(path, 'utf8')))
  } catch {
    throw new BackupError(`${path} cannot be read as that of a backup. Take another backup.`)
  }
}

async function requireHash(path: string, expected: string): Promise<void> {
  const found = await hashOfFile(path)
  if (found === expected) return
  const what = found === null ? 'is missing' : 'is not as it was backed up'
  throw new BackupError(`${path} ${what}, so nothing was restored. Take another backup.`)
}
