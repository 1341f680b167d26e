import { randomBytes } from 'node:crypto'
import type { Kysely } from 'kysely'
import { canonicalJson } from '../../canonical.ts'
import { parsed } from '../record/chain-walk.ts'
import { personalHash } from '../record/entry-hash.ts'
import type { RecordPersonalTable } from '../record/record-tables.ts'
import type { Schema } from '../schema.ts'

/** Who is named in an entry, and its words by name. */
export interface EntryWords {
  readonly who: string | null
  readonly content: Readonly<Record<string, unknown>>
}

/** What stands beside an entry from now on, and its hash. */
export type ReplacedWords = RecordPersonalTable & { readonly personal: string }

interface Replacement {
  readonly entries: readonly number[]
  readonly without: (words: EntryWords) => EntryWords
}

/**
 * The words of entries without what had to go, each with a new salt: the old salt goes with what it hid. Entries whose
 * words come out the same are left out, and so are those whose words were not as they were written.
 *
 * @param rows rows of theirs that were changed, by entry
 */
export async function replaceWords(
  db: Kysely<Schema>,
  { entries, without }: Replacement,
  rows: ReadonlyMap<number, unknown>,
): Promise<ReplacedWords[]> {
  const replaced: ReplacedWords[] = []
  for (const sequence of [...new Set([...entries, ...rows.keys()])].sort((a, b) => a - b)) {
    const before = await db
      .selectFrom('record_personal')
      .innerJoin('record_entry', 'record_entry.sequence', 'record_personal.sequence')
      .where('record_personal.sequence', '=', sequence)
      .select(['who', 'content', 'salt', 'record_entry.personal'])
      .executeTakeFirst()
    if (before === undefined) continue
    const last = await db
      .selectFrom('record_erased')
      .where('sequence', '=', sequence)
      .select('personal')
      .orderBy('erasure', 'desc')
      .limit(1)
      .executeTakeFirst()
    if (personalHash(before) !== (last?.personal ?? before.personal)) continue
    const content = (parsed(before.content) ?? {}) as Record<string, unknown>
    const row = rows.get(sequence)
    const after = without({ who: before.who, content: row === undefined ? content : { ...content, row } })
    const words = { who: after.who, content: canonicalJson(after.content) }
    if (words.who === before.who && words.content === before.content) continue
    const salted = { ...words, salt: randomBytes(16).toString('hex') }
    replaced.push({ sequence, ...salted, personal: personalHash(salted) })
  }
  return replaced
}

/** Data with every text in it changed. */
export function withTexts(value: unknown, change: (text: string) => string): unknown {
  if (typeof value === 'string') return change(value)
  if (Array.isArray(value)) return value.map((each) => withTexts(each, change))
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, withTexts(each, change)]))
}
