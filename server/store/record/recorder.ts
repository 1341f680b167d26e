import { randomBytes } from 'node:crypto'
import type { Kysely } from 'kysely'
import { canonicalJson } from '../../canonical.ts'
import type { RecordKind, SubjectKind } from '../../contract/record.ts'
import type { Transaction } from '../engine.ts'
import type { Schema } from '../schema.ts'
import { BEFORE_THE_FIRST, entryHash, personalHash, rowHash } from './entry-hash.ts'

/** Something that an entry is about. */
export interface Subject {
  readonly kind: SubjectKind
  /** Identity of its row. */
  readonly id: number
}

/** The row that an act wrote, by table and key. */
export interface WrittenRow {
  readonly table: keyof Schema
  readonly key: Readonly<Record<string, string | number>>
}

/** Something that somebody did. */
export interface Act {
  readonly kind: RecordKind
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  /** Null where nobody is named. */
  readonly who: string | null
  /** Part numbers need not be given with their characteristics. */
  readonly about: readonly Subject[]
  /**
   * Plain data, and nothing personal: no names of people, no serial numbers, no free text. That goes into `words`.
   */
  readonly details?: Readonly<Record<string, unknown>>
  /** What may have to be erased one day: reasons and other free text, serial numbers, names of files. */
  readonly words?: Readonly<Record<string, string | number | null>>
  /** The row written, if it is never changed: its hash is kept, so that a change of it shows. */
  readonly row?: WrittenRow
}

/**
 * Appends to the record. How to add a kind of act:
 *
 * 1. Add its name and words to `RECORD_KINDS` (src/words/record-kinds.ts), and what it is about to `SUBJECT_KINDS`
 *    (server/contract/record.ts).
 * 2. In the function of the store that writes the act (never in a route), after its rows are written, call
 *    `record.append({ kind, at, who, about, details, words, row })`. It commits with them, or not at all.
 * 3. Add the function to tests/server/store/record-contract.ts, where every function that writes leaves its entry.
 *
 * A transaction that wrote something and appended nothing is refused when it is to be committed
 * (`UnrecordedWriteError`). Bookkeeping that decides nothing says so with `withoutEntry`.
 */
export interface Recorder {
  /** @returns the entry's sequence */
  append(act: Act): Promise<number>
  /**
   * Let this transaction be committed without an entry.
   *
   * @param why for the reader of the code: what makes the write no act of anybody
   */
  withoutEntry(why: string): void
  /** Whether the transaction may be committed, as far as the record goes. */
  readonly isSettled: boolean
}

export function recorder(transaction: Transaction): Recorder {
  let isSettled = false
  return {
    async append(act) {
      await transaction.holdRecord()
      const sequence = await appendEntry(transaction.db, act)
      isSettled = true
      return sequence
    },
    withoutEntry() {
      isSettled = true
    },
    get isSettled() {
      return isSettled
    },
  }
}

/** Append to the record in a transaction that nobody else appends beside. @returns the entry's sequence */
export async function appendEntry(db: Kysely<Schema>, act: Act): Promise<number> {
  const head = await db
    .selectFrom('record_entry')
    .select(['sequence', 'hash'])
    .orderBy('sequence', 'desc')
    .limit(1)
    .executeTakeFirst()
  const sequence = (head?.sequence ?? 0) + 1
  const about = await named(db, act.about)
  const row = act.row === undefined ? undefined : await writtenRow(db, act.row)
  const personal = {
    who: act.who,
    content: canonicalJson({ ...act.words, row }),
    salt: randomBytes(16).toString('hex'),
  }
  const entry = {
    sequence,
    at: act.at,
    kind: act.kind,
    about: canonicalJson(about),
    details: canonicalJson(act.details ?? {}),
    personal: personalHash(personal),
    previous: head?.hash ?? BEFORE_THE_FIRST,
  }
  await db
    .insertInto('record_entry')
    .values({ ...entry, hash: entryHash(entry) })
    .execute()
  await db
    .insertInto('record_personal')
    .values({ sequence, ...personal })
    .execute()
  if (about.length === 0) return sequence
  await db
    .insertInto('record_about')
    .values(about.map(({ kind, id }) => ({ kind, id, sequence })))
    .execute()
  return sequence
}

type NamedSubject = Subject & { readonly name?: string }

/** The subjects with their names as they are now and, with characteristics, their part numbers; each once. */
async function named(db: Kysely<Schema>, about: readonly Subject[]): Promise<NamedSubject[]> {
  const ids = (wanted: SubjectKind) => about.filter(({ kind }) => kind === wanted).map(({ id }) => id)
  const found = new Map<string, NamedSubject>()
  const add = (subject: NamedSubject) => found.set(`${subject.kind} ${subject.id}`, subject)
  for (const subject of about) add(subject)
  const partNumberIds = new Set(ids('part-number'))
  for (const some of pieces(ids('characteristic'))) {
    const rows = await db
      .selectFrom('characteristic')
      .where('id', 'in', some)
      .select(['id', 'designator', 'part_number_id'])
      .execute()
    for (const { id, designator, part_number_id } of rows) {
      add({ kind: 'characteristic', id, name: designator })
      partNumberIds.add(part_number_id)
    }
  }
  for (const some of pieces([...partNumberIds])) {
    const rows = await db
      .selectFrom('part_number')
      .where('id', 'in', some)
      .select(['id', 'number', 'revision'])
      .execute()
    for (const { id, number, revision } of rows)
      add({ kind: 'part-number', id, name: `${number} ${revision}` })
  }
  for (const some of pieces(ids('build'))) {
    const rows = await db.selectFrom('build').where('id', 'in', some).select(['id', 'name']).execute()
    for (const { id, name } of rows) add({ kind: 'build', id, name })
  }
  for (const some of pieces(ids('gauge'))) {
    const rows = await db.selectFrom('gauge').where('id', 'in', some).select(['id', 'name']).execute()
    for (const { id, name } of rows) add({ kind: 'gauge', id, name })
  }
  return [...found.values()].sort((a, b) => (a.kind === b.kind ? a.id - b.id : a.kind < b.kind ? -1 : 1))
}

async function writtenRow(db: Kysely<Schema>, { table, key }: WrittenRow) {
  const [row] = await plainRows(db, table, [key])
  if (row === undefined) throw new Error(`the row that an entry speaks of is not in ${table}`)
  return { table, key, sha256: rowHash(row) }
}

/**
 * Rows of any table, which the builder's types cannot follow.
 *
 * @param keys columns with their values, the same columns in each; null for all rows
 * @param columns null for all
 */
export async function plainRows(
  db: Kysely<Schema>,
  table: string,
  keys: readonly WrittenRow['key'][] | null,
  columns: readonly string[] | null = null,
): Promise<readonly Readonly<Record<string, unknown>>[]> {
  const plain = db as unknown as Kysely<Record<string, Record<string, unknown>>>
  let query = plain.selectFrom(table)
  if (keys !== null) query = query.where((eb) => eb.or(keys.map((key) => eb.and(key))))
  return columns === null ? await query.selectAll().execute() : await query.select(columns).execute()
}

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

function* pieces<T>(all: readonly T[]): Generator<T[]> {
  for (let i = 0; i < all.length; i += AT_ONCE) yield all.slice(i, i + AT_ONCE)
}
