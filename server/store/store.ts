import type { Engine, Manner } from './engine.ts'
import { UnrecordedWriteError } from './errors.ts'
import { type EventNoticeReads, eventNoticeReads } from './event-notice-reads.ts'
import { kept } from './kept.ts'
import type { StoreLocation } from './location.ts'
import { SCHEMA_VERSION, schemaVersion } from './migrate.ts'
import { openEngine } from './open-engine.ts'
import { type PlaceReads, placeReads } from './places.ts'
import { type Reads, reads } from './reads.ts'
import { recorder } from './record/recorder.ts'
import type { PartTable } from './schema.ts'
import { type ShrinkageReads, shrinkageReads } from './shrinkage-reads.ts'
import { type TypingReads, typingReads } from './typing-reads.ts'
import { type Writer, writer } from './writer.ts'
import { notingWriter } from './writes-aside.ts'

/** Part numbers and stages of which builds and cells are kept: 80 000 cells take some 10 MB. */
const MOST_KEPT = 8

export type { StoreLocation } from './location.ts'

/** Everything recorded: read by views, written by the intake. */
export interface Store extends Reads, PlaceReads, ShrinkageReads, EventNoticeReads, TypingReads {
  readonly location: StoreLocation
  /**
   * Run `work` in one transaction: committed when it resolves, rolled back when it rejects, and then as if it
   * had never begun. Calls wait for one another. Reads through this same store meanwhile may see what is not
   * committed yet, so a long write is done through a store of its own.
   *
   * Written beside others, `work` runs a second time, then alone, where another process got in its way; it has to
   * begin afresh each time.
   *
   * @param manner alone unless said otherwise
   * @throws UnrecordedWriteError where `work` wrote something and left no entry in the record; nothing is kept then
   */
  write<T>(work: (writer: Writer) => Promise<T>, manner?: Manner): Promise<T>
  /** Parts of these serial numbers that are on record, in any order. */
  partsBySerial(partNumberId: number, serials: readonly string[]): Promise<PartTable[]>
  /**
   * Changes with every commit, whichever process made it, so that what was computed from reads made after this
   * one holds while it stays the same. Null while it cannot be told.
   */
  version(): Promise<string | null>
  /**
   * As `version`, but stays the same with commits of what enters into no view that is kept, such as a receipt's
   * signals.
   */
  contentVersion(): Promise<string | null>
  /**
   * Call `listener` after every commit to this database: of every process on PostgreSQL, of this process and its
   * threads on an SQLite file. It may be called once too often, never too seldom.
   *
   * @returns how to stop it
   */
  onChange(listener: () => void): () => void
  /** Whether its tables are those of this program. @throws whatever keeps the database from answering */
  isCurrent(): Promise<boolean>
  close(): Promise<void>
}

/**
 * Open the database, creating or bringing up its tables.
 *
 * @throws NewerDatabaseError where a later version of the program wrote it; nothing is changed then
 * @throws DatabaseUnreachableError where its server does not answer or refuses the user
 */
export async function openStore(location: StoreLocation): Promise<Store> {
  const engine = await openEngine(location)
  const fresh = reads(engine)
  let last: Promise<unknown> = Promise.resolve()
  return {
    location,
    ...fresh,
    // What every view of a part number begins with.
    builds: (partNumberId, stage) =>
      kept(engine, `builds ${partNumberId} ${stage}`, () => fresh.builds(partNumberId, stage), MOST_KEPT),
    cells: (partNumberId, stage) =>
      kept(engine, `cells ${partNumberId} ${stage}`, () => fresh.cells(partNumberId, stage), MOST_KEPT),
    cellsByCharacteristic: (partNumberId, stage) =>
      kept(
        engine,
        `cells by characteristic ${partNumberId} ${stage}`,
        () => fresh.cellsByCharacteristic(partNumberId, stage),
        MOST_KEPT,
      ),
    ...placeReads(engine.db),
    ...shrinkageReads(engine.db),
    ...eventNoticeReads(engine.db),
    ...typingReads(engine.db),
    write(work, manner = 'alone') {
      const run = last.then(() => writeOnce(engine, work, manner))
      last = run.catch(() => undefined)
      return run
    },
    partsBySerial: (partNumberId, serials) => engine.partsBySerial(partNumberId, serials),
    version: () => engine.version(),
    contentVersion: () => engine.contentVersion(),
    onChange: (listener) => engine.onChange(listener),
    isCurrent: async () => (await schemaVersion(engine.db)) === SCHEMA_VERSION,
    async close() {
      await last
      await engine.close()
    },
  }
}

async function writeOnce<T>(
  engine: Engine,
  work: (writer: Writer) => Promise<T>,
  manner: Manner,
): Promise<T> {
  const transaction = await engine.begin(manner)
  try {
    const record = recorder(transaction)
    const noting = notingWriter(writer(transaction, record))
    const result = await work(noting.writer)
    if (!record.isSettled && (await transaction.hasWritten())) throw new UnrecordedWriteError()
    await transaction.commit(noting.isAside())
    return result
  } catch (error) {
    await transaction.rollback()
    if (transaction.manner === 'beside' && engine.isCollision(error)) {
      return await writeOnce(engine, work, 'alone')
    }
    throw error
  }
}
