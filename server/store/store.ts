import { migrate, SCHEMA_VERSION, schemaVersion } from './migrate.ts'
import { type Reads, reads } from './reads.ts'
import { openSqlite } from './sqlite/engine.ts'
import { type Writer, writer } from './writer.ts'

export interface StoreLocation {
  /** Path of an SQLite database, created where it is not there; ":memory:" for one that is never kept. */
  readonly file: string
}

/** Everything recorded: read by views, written by the intake. */
export interface Store extends Reads {
  readonly location: StoreLocation
  /**
   * Run `work` in one transaction: committed when it resolves, rolled back when it rejects, and then as if it
   * had never begun. Calls wait for one another. Reads through this same store meanwhile see what is not
   * committed yet, so a long write is done through a store of its own.
   */
  write<T>(work: (writer: Writer) => Promise<T>): Promise<T>
  close(): Promise<void>
}

/**
 * Open the database, creating or bringing up its tables.
 *
 * @throws NewerDatabaseError where a later version of the program wrote it; nothing is changed then
 */
export async function openStore(location: StoreLocation): Promise<Store> {
  const engine = openSqlite(location.file)

  async function transaction<T>(work: () => Promise<T>): Promise<T> {
    await engine.begin()
    try {
      const result = await work()
      await engine.commit()
      return result
    } catch (error) {
      await engine.rollback()
      throw error
    }
  }

  try {
    // Looked at first without the right to write, so that opening never waits for a running import.
    if ((await schemaVersion(engine.db)) < SCHEMA_VERSION) {
      await transaction(() => migrate(engine.db, engine.flavour))
    }
  } catch (error) {
    await engine.close()
    throw error
  }

  let last: Promise<unknown> = Promise.resolve()
  return {
    location,
    ...reads(engine.db),
    write(work) {
      const run = last.then(() => transaction(() => work(writer(engine))))
      last = run.catch(() => undefined)
      return run
    },
    async close() {
      await last
      await engine.close()
    },
  }
}
