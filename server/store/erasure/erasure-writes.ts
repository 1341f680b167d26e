import type { Kysely } from 'kysely'
import type { ErasureDone, ErasureWanted } from '../../contract/erasure.ts'
import type { Grounds } from '../decision-writes.ts'
import type { Bulk, Transaction } from '../engine.ts'
import { replacedDigest } from '../record/chain-walk.ts'
import type { Recorder, Subject } from '../record/recorder.ts'
import type { Schema } from '../schema.ts'
import { eraseFiles } from './erase-files.ts'
import { eraseParts } from './erase-parts.ts'
import { erasePerson } from './erase-person.ts'
import { RowsOnRecord } from './rows-on-record.ts'
import { type EntryWords, replaceWords } from './words.ts'

/** What an erasure of one kind took out, before the record is told. */
export interface Taken {
  /** What its entry is about: nothing that had to go. */
  readonly about: readonly Subject[]
  /** Nothing personal. */
  readonly details: {
    readonly parts?: number
    /** Measurements by import. */
    readonly measurements?: Readonly<Record<string, number>>
    /** Hashes of kept files. */
    readonly files?: readonly string[]
    /** Name that stands in the place of a person's. */
    readonly pseudonym?: string
    /** Rows in which something was replaced. */
    readonly rows: number
  }
  /** Entries whose words may hold what had to go, and what they say without it. */
  readonly entries: readonly number[]
  readonly without: (words: EntryWords) => EntryWords
  /** Tables whose rows were changed. */
  readonly tables: ReadonlySet<string>
}

export interface ErasureWrites {
  /**
   * Erase what must go. Cells are computed anew; entries of the record keep their places and hashes, and only the words
   * beside them are replaced; an entry of its own says what was erased, how much, why and by whom.
   *
   * @returns null where nothing of it is on record
   * @throws StillSigningInError where a person may sign in still
   */
  erase(wanted: ErasureWanted, grounds: Grounds): Promise<ErasureDone | null>
}

/** A person's name is not erased while they may sign in under it. */
export class StillSigningInError extends Error {
  override readonly name = 'StillSigningInError'
}

export function erasureWrites(transaction: Transaction, record: Recorder): ErasureWrites {
  const { db, bulk } = transaction
  return {
    async erase(wanted, grounds) {
      // Rows are compared with their entries first: one that was changed by another way must not come out as right.
      const onRecord = await RowsOnRecord.read(db)
      const taken = await take(db, bulk, wanted)
      if (taken === null) return null
      transaction.emptyLogAfterwards()
      const changed = await onRecord.changedSince(taken.tables)
      const replaced = await replaceWords(db, taken, changed)
      const entry = await record.append({
        kind: 'erasure',
        at: grounds.at,
        who: grounds.who,
        about: taken.about,
        details: {
          what: wanted.what,
          ...taken.details,
          entries: replaced.length,
          replaced: replacedDigest(replaced),
        },
        words: { reason: grounds.reason },
      })
      for (const { sequence, personal, ...words } of replaced) {
        await db.insertInto('record_erased').values({ sequence, erasure: entry, personal }).execute()
        await db.updateTable('record_personal').set(words).where('sequence', '=', sequence).execute()
      }
      const { parts = 0, measurements = {}, files = [], rows, pseudonym = null } = taken.details
      return {
        entry,
        parts,
        measurements: Object.values(measurements).reduce((sum, count) => sum + count, 0),
        imports: Object.keys(measurements).map(Number),
        files,
        rows,
        entries: replaced.length,
        pseudonym,
        reports: await reportsNaming(db, wanted),
      }
    },
  }
}

async function take(db: Kysely<Schema>, bulk: Bulk, wanted: ErasureWanted): Promise<Taken | null> {
  switch (wanted.what) {
    case 'parts':
      return await eraseParts(db, bulk, wanted)
    case 'person':
      return await erasePerson(db, wanted.name)
    case 'files':
      return await eraseFiles(db, wanted.imports)
  }
}

/** Numbers of the reports that name what had to go. They stay as they were given out. */
async function reportsNaming(db: Kysely<Schema>, wanted: ErasureWanted): Promise<number[]> {
  if (wanted.what === 'files') return []
  const names = wanted.what === 'person' ? [wanted.name] : wanted.serials
  const found = new Set<number>()
  for (const name of names) {
    const text = JSON.stringify(name).replace(/[\\%_]/g, '\\$&')
    const rows = await db.selectFrom('report').where('content', 'like', `%${text}%`).select('id').execute()
    for (const { id } of rows) found.add(id)
  }
  return [...found].sort((a, b) => a - b)
}
