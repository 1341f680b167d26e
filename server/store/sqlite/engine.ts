import Database from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import { type Engine, identitiesAbove, type Transaction } from '../engine.ts'
import type { Schema } from '../schema.ts'
import { beginImmediate } from './begin.ts'
import { sqliteBulk } from './bulk.ts'
import { sqliteCells } from './cells.ts'
import { sqliteCommitCount } from './commit-count.ts'
import { noticesOf } from './notices.ts'
import { sqliteParts } from './parts.ts'
import { sqliteScan } from './scan.ts'
import { sqliteValues } from './values.ts'

/**
 * How long opening waits for another connection, in milliseconds. Reading waits for nobody but one that recovers
 * or clears away the log; the right to write is waited for in `beginImmediate`, without holding up the thread.
 */
const OPENING_TIMEOUT = 15_000
const READING_TIMEOUT = 1000

/** Pages of the log from which on a commit puts them into the database; the default of SQLite. */
const PAGES_IN_LOG = 1000

/**
 * SQLite as a store's engine: one connection, write-ahead log, every commit on disk before it returns.
 *
 * @param file path of the database, or ":memory:"
 */
export function openSqlite(file: string): Engine {
  const database = new Database(file, { timeout: OPENING_TIMEOUT })
  database.pragma('journal_mode = WAL')
  database.pragma('synchronous = FULL')
  database.pragma('foreign_keys = ON')
  // What is deleted is overwritten, so that what was erased does not stay in free pages.
  database.pragma('secure_delete = ON')
  // After a long import the log goes back to this many bytes once its pages are in the database.
  database.pragma('journal_size_limit = 67108864')
  // Negative means kibibytes: 8 MiB of pages, enough for the upper levels of a ten-million-row tree. Every thread has a
  // connection, and a commit of another empties its cache; what the system keeps of the file serves them all. Four times
  // as much has made no import quicker, nor one in random order.
  database.pragma('cache_size = -8192')
  database.pragma('temp_store = MEMORY')
  database.pragma(`busy_timeout = ${READING_TIMEOUT}`)
  const db = new Kysely<Schema>({ dialect: new SqliteDialect({ database }) })
  const notices = noticesOf(file)
  const cells = sqliteCells(database)
  const values = sqliteValues(database)
  const parts = sqliteParts(database)
  const commitCount = sqliteCommitCount(database)
  let commits = 0
  const changes = () => database.prepare('select total_changes()').pluck().get() as number
  let changesBefore = 0
  /** True while a file is taken in, which fills the log with far more than one commit of another kind does. */
  let isLong = false
  /**
   * Put the pages of the log into the database and give its room back, once whoever waited for the commit has been
   * answered: the commit itself is on disk in the log. What cannot be put there now, another commit puts there.
   */
  const emptyLog = () => {
    if (!database.open || database.inTransaction) return
    try {
      // Most of it without holding up who writes; what is left then takes a moment only.
      database.pragma('wal_checkpoint(PASSIVE)')
      database.pragma('wal_checkpoint(TRUNCATE)')
    } catch {
      // The log holds all of it.
    }
  }
  const version = (): string | null => {
    if (database.inTransaction) return null
    // Changes with the commits of other connections; those of this one leave it as it is.
    return `${database.pragma('data_version', { simple: true })}.${commits}`
  }
  const transaction: Transaction = {
    manner: 'alone',
    db,
    bulk: sqliteBulk(database, values, parts),
    reserve: () => identitiesAbove(db),
    hold: async () => undefined,
    holdRecord: async () => undefined,
    emptyLogAfterwards() {
      isLong = true
    },
    hasWritten: async () => changes() > changesBefore,
    async commit(isAside) {
      if (changes() > changesBefore) commitCount.add(isAside)
      database.exec('COMMIT')
      commits++
      notices.tell()
      if (isLong) setImmediate(emptyLog)
    },
    async rollback() {
      if (!database.inTransaction) return
      database.exec('ROLLBACK')
      // What did not fit into memory stands in the log, and takes up the disk there.
      if (isLong) setImmediate(emptyLog)
    },
  }
  return {
    flavour: 'sqlite',
    db,
    cellsOf: async (characteristicId, stage) => cells.of(characteristicId, stage),
    cellChanges: async (partNumberId, stage, since) => cells.changes(partNumberId, stage, since),
    scan: sqliteScan(database),
    values: async (cellIds) => values(cellIds),
    partsBySerial: async (partNumberId, serials) => parts(partNumberId, serials),
    async snapshot(work) {
      // A database in memory has this one connection.
      if (file === ':memory:') return await work(db)
      const reading = new Database(file, { timeout: OPENING_TIMEOUT })
      reading.pragma('query_only = ON')
      const own = new Kysely<Schema>({ dialect: new SqliteDialect({ database: reading }) })
      try {
        reading.exec('BEGIN')
        return await work(own)
      } finally {
        await own.destroy()
      }
    },
    async begin(manner) {
      await beginImmediate(database)
      isLong = manner === 'beside'
      database.pragma(`wal_autocheckpoint = ${isLong ? 0 : PAGES_IN_LOG}`)
      changesBefore = changes()
      return transaction
    },
    isCollision: () => false,
    version: async () => version(),
    async contentVersion() {
      const now = version()
      return now === null ? null : commitCount.content(now)
    },
    onChange: (listener) => notices.onChange(listener),
    async close() {
      notices.close()
      await db.destroy()
      if (database.open) database.close()
    },
  }
}
