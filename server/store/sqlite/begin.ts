import { setTimeout as delay } from 'node:timers/promises'
import type { Database } from 'better-sqlite3'
import { BusyDatabaseError } from '../errors.ts'

/** Milliseconds between two tries: short at first, since most writes are over at once. */
const FIRST_PAUSE = 5
const LONGEST_PAUSE = 100

/** Milliseconds after which the right to write is given up on. An import of ten million rows takes some minutes. */
const PATIENCE = 15 * 60_000

/**
 * Begin a transaction that may write from its first moment: a deferred one that reads first could not become a
 * writer once another has committed. While another connection writes, the thread goes on with other work and
 * tries again; SQLite's own waiting would hold up everything on it.
 *
 * @param patience milliseconds
 * @throws BusyDatabaseError where the other has not finished by then
 */
export async function beginImmediate(database: Database, patience = PATIENCE): Promise<void> {
  const waited = database.pragma('busy_timeout', { simple: true })
  const since = performance.now()
  for (let pause = FIRST_PAUSE; ; pause = Math.min(LONGEST_PAUSE, pause * 2)) {
    database.pragma('busy_timeout = 0')
    try {
      database.exec('BEGIN IMMEDIATE')
      return
    } catch (error) {
      if (!isBusy(error)) throw error
    } finally {
      database.pragma(`busy_timeout = ${waited}`)
    }
    if (performance.now() - since > patience) throw new BusyDatabaseError()
    await delay(pause)
  }
}

/** SQLITE_BUSY with its extensions, of which one tells that a log is being recovered. */
function isBusy(error: unknown): boolean {
  return String((error as { code?: unknown }).code).startsWith('SQLITE_BUSY')
}
