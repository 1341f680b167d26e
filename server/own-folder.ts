import { existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'

/** A folder that no other process touches while this one lives. */
export interface OwnFolder {
  readonly path: string
  /** Remove the folder with all that is in it. */
  close(): void
}

const MOST_TRIES = 10

/**
 * A folder of one's own inside a folder that several processes share, for files that nobody asks for once the process
 * is gone. Those that processes no longer living left behind are removed on the way.
 *
 * That a process lives is told by a lock which it holds and which the system takes back however the process ends: a
 * number of a process would say nothing on another machine, or once it is given to the next.
 */
export function openOwnFolder(shared: string): OwnFolder {
  mkdirSync(shared, { recursive: true })
  removeAbandoned(shared)
  for (let tries = 1; ; tries++) {
    const path = mkdtempSync(join(shared, 'of-'))
    const lock = takeLock(path)
    // Else another process looked in just now, found the folder without its lock, and removes it.
    if (lock === null) {
      if (tries < MOST_TRIES) continue
      throw new Error(`No lock can be had in ${path}. Look at whether files can be written and locked there.`)
    }
    return {
      path,
      close() {
        rmSync(path, { recursive: true, force: true })
        lock.close()
      },
    }
  }
}

/** Remove what processes no longer living left in a shared folder. */
export function removeAbandoned(shared: string): void {
  for (const entry of readdirSync(shared, { withFileTypes: true })) {
    const path = join(shared, entry.name)
    const lock = entry.isDirectory() ? takeLock(path) : null
    if (lock === null) {
      // Files lay here by themselves before every process had a folder.
      if (!entry.isDirectory()) rmSync(path, { force: true })
      continue
    }
    // Under the lock, so that whoever is about to move in notices.
    rmSync(path, { recursive: true, force: true })
    lock.close()
  }
}

/** The lock of a folder; null where a living process holds it, or where the folder is gone. */
function takeLock(folder: string): Database.Database | null {
  const file = join(folder, 'in-use')
  let database: Database.Database | null = null
  try {
    // SQLite's locks on files are those of the system, and hold within one process too.
    database = new Database(file, { timeout: 0 })
    database.exec('BEGIN EXCLUSIVE')
    if (existsSync(file)) return database
  } catch (error) {
    const isHeld = String((error as { code?: unknown }).code).startsWith('SQLITE_BUSY')
    if (!isHeld && existsSync(file)) throw error
  }
  database?.close()
  return null
}
