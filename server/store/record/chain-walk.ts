import { createHash } from 'node:crypto'
import type { Kysely } from 'kysely'
import type { RecordHead } from '../../contract/record.ts'
import type { Schema } from '../schema.ts'
import { BEFORE_THE_FIRST, entryHash, personalHash } from './entry-hash.ts'
import type { Faults } from './faults.ts'
import type { RecordEntryTable, RecordPersonalTable } from './record-tables.ts'

/** Entries read at a time. */
const AT_ONCE = 500

/** Places up and down the chain that an entry is looked for whose hash does not fit the place where it stands. */
const REACH = 1000

/** An entry with the part of it that can be erased. */
export type WalkedEntry = RecordEntryTable & {
  readonly words: Omit<RecordPersonalTable, 'sequence'> | null
  /** Whether `words` are as they were written. */
  isIntact: boolean
}

export interface ChainWalk {
  readonly entries: number
  readonly head: RecordHead | null
  /** Entries out of which something was erased. */
  readonly erased: number
}

/**
 * Walk the chain from its first entry: each has to follow from the one before, and to be as it was written.
 *
 * @param visit told the entries that are there, some at a time
 */
export async function walkChain(
  db: Kysely<Schema>,
  faults: Faults,
  visit: (entries: readonly WalkedEntry[]) => Promise<void>,
): Promise<ChainWalk> {
  const erased = new Erased()
  let last: RecordHead = { sequence: 0, hash: BEFORE_THE_FIRST }
  let entries = 0
  for (;;) {
    const page = await pageAfter(db, last.sequence)
    if (page.length === 0) break
    const replaced = await erased.load(db, page)
    const indexed = await indexOf(db, page)
    for (const entry of page) {
      checkPlace(entry, last, faults)
      entry.isIntact = isAsWritten(entry, replaced.get(entry.sequence) ?? entry.personal, faults)
      if (indexed(entry) !== entry.about) {
        faults.add(
          'changed',
          entry.sequence,
          `The index of what entry ${entry.sequence} is about was changed.`,
        )
      }
      erased.note(entry)
      last = entry
    }
    await visit(page)
    entries += page.length
    // Requests are answered meanwhile.
    await new Promise((resolve) => setImmediate(resolve))
  }
  await erased.check(db, faults)
  const { sequence, hash } = last
  return { entries, head: entries === 0 ? null : { sequence, hash }, erased: erased.sequences.size }
}

async function pageAfter(db: Kysely<Schema>, sequence: number): Promise<WalkedEntry[]> {
  const rows = await db
    .selectFrom('record_entry as e')
    .leftJoin('record_personal as p', 'p.sequence', 'e.sequence')
    .where('e.sequence', '>', sequence)
    .select(['e.sequence', 'e.at', 'e.kind', 'e.about', 'e.details', 'e.personal', 'e.previous', 'e.hash'])
    .select(['p.who', 'p.content', 'p.salt'])
    .orderBy('e.sequence')
    .limit(AT_ONCE)
    .execute()
  return rows.map(({ who, content, salt, ...entry }) => ({
    ...entry,
    words: content === null || salt === null ? null : { who, content, salt },
    isIntact: false,
  }))
}

function checkPlace(entry: WalkedEntry, last: RecordHead, faults: Faults): void {
  const { sequence } = entry
  const follows = sequence === last.sequence + 1
  if (!follows) {
    const [from, to] = [last.sequence + 1, sequence - 1]
    faults.add(
      'missing',
      from,
      from === to ? `Entry ${from} is missing.` : `Entries ${from} to ${to} are missing.`,
    )
  }
  if (entryHash(entry) !== entry.hash) {
    const own = ownPlace(entry)
    if (own === null) faults.add('changed', sequence, `Entry ${sequence} is not as it was written.`)
    else
      faults.add(
        'moved',
        sequence,
        `In the place of entry ${sequence} stands the one written as entry ${own}.`,
      )
  } else if (follows && entry.previous !== last.hash) {
    const what =
      last.sequence === 0
        ? 'Entry 1 follows from another that is not there.'
        : `Entry ${sequence} does not follow from entry ${last.sequence} as it stands: one of the two was put in the place of another.`
    faults.add('broken', sequence, what)
  }
}

/** The place that an entry was written for, where it fits one nearby. */
function ownPlace(entry: WalkedEntry): number | null {
  for (let distance = 1; distance <= REACH; distance++) {
    for (const sequence of [entry.sequence - distance, entry.sequence + distance]) {
      if (sequence > 0 && entryHash({ ...entry, sequence }) === entry.hash) return sequence
    }
  }
  return null
}

function isAsWritten({ sequence, words }: WalkedEntry, expected: string, faults: Faults): boolean {
  if (words !== null && personalHash(words) === expected) return true
  const what = words === null ? 'missing' : 'not as they were written'
  faults.add('personal', sequence, `Who is named in entry ${sequence}, and its words, are ${what}.`)
  return false
}

/** `about` of an entry as the index has it, in the entry's own writing where they agree. */
async function indexOf(
  db: Kysely<Schema>,
  page: readonly WalkedEntry[],
): Promise<(entry: WalkedEntry) => string | null> {
  const rows = await db
    .selectFrom('record_about')
    .where('sequence', '>=', (page[0] as WalkedEntry).sequence)
    .where('sequence', '<=', (page.at(-1) as WalkedEntry).sequence)
    .selectAll()
    .execute()
  const keys = new Map<number, string[]>()
  for (const { sequence, kind, id } of rows) {
    const own = keys.get(sequence)
    if (own === undefined) keys.set(sequence, [`${kind} ${id}`])
    else own.push(`${kind} ${id}`)
  }
  return ({ sequence, about }) => {
    const written = subjectsOf(about).map(({ kind, id }) => `${kind} ${id}`)
    const found = keys.get(sequence) ?? []
    return written.sort().join() === found.sort().join() ? about : null
  }
}

/** What an entry is about; nothing where its text was spoilt. */
export function subjectsOf(about: string): readonly { readonly kind: string; readonly id: number }[] {
  const read = parsed(about)
  return Array.isArray(read) ? read : []
}

/** A text of the record as data; null where it was spoilt. */
export function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return null
  }
}

/** What erasures replaced, against what their own entries say that they did. */
class Erased {
  readonly sequences = new Set<number>()
  /** Digest that each erasure's entry gives. */
  readonly #digests = new Map<number, string>()

  /** Hash of the personal part of each of these entries of which something was erased. */
  async load(db: Kysely<Schema>, page: readonly WalkedEntry[]): Promise<ReadonlyMap<number, string>> {
    const rows = await db
      .selectFrom('record_erased')
      .where('sequence', '>=', (page[0] as WalkedEntry).sequence)
      .where('sequence', '<=', (page.at(-1) as WalkedEntry).sequence)
      .selectAll()
      .orderBy('erasure')
      .execute()
    for (const { sequence } of rows) this.sequences.add(sequence)
    return new Map(rows.map(({ sequence, personal }) => [sequence, personal]))
  }

  note({ sequence, kind, details }: WalkedEntry): void {
    if (kind !== 'erasure') return
    const { replaced } = (parsed(details) ?? {}) as { replaced?: unknown }
    this.#digests.set(sequence, String(replaced))
  }

  async check(db: Kysely<Schema>, faults: Faults): Promise<void> {
    const rows = await db
      .selectFrom('record_erased')
      .selectAll()
      .orderBy('erasure')
      .orderBy('sequence')
      .execute()
    const listed = new Map<number, typeof rows>()
    for (const row of rows) {
      const own = listed.get(row.erasure)
      if (own === undefined) listed.set(row.erasure, [row])
      else own.push(row)
    }
    for (const [erasure, own] of listed) {
      if (!this.#digests.has(erasure)) {
        faults.add(
          'personal',
          erasure,
          `Words were replaced in the name of entry ${erasure}, which is no erasure.`,
        )
      } else if (this.#digests.get(erasure) !== replacedDigest(own)) {
        faults.add('personal', erasure, `What erasure ${erasure} replaced is not what its entry says.`)
      }
    }
    for (const [erasure, digest] of this.#digests) {
      if (!listed.has(erasure) && digest !== replacedDigest([])) {
        faults.add('personal', erasure, `The list of what erasure ${erasure} replaced is missing.`)
      }
    }
  }
}

/** SHA-256 of which entries an erasure replaced words of, and of what stands there since. */
export function replacedDigest(
  rows: readonly { readonly sequence: number; readonly personal: string }[],
): string {
  const hash = createHash('sha256')
  for (const { sequence, personal } of [...rows].sort((a, b) => a.sequence - b.sequence)) {
    hash.update(`${sequence} ${personal}\n`)
  }
  return hash.digest('hex')
}
