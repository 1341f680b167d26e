import { RECORD_KINDS } from '../../src/words/record-kinds.ts'
import type { RecordEntryView, RecordSubjectView } from '../contract/record.ts'
import type { PartNumber } from '../contract/views.ts'
import type { RecordEntry, RecordFilter } from '../store/record/record-reads.ts'
import type { Store } from '../store/store.ts'
import { entryWords } from './record-words.ts'

/** Entries read for an export at a time. */
const AT_ONCE = 1000

/** A page of the record: as many entries as asked for, and where the next page begins. */
export async function recordPage(
  store: Store,
  filter: RecordFilter,
  { limit, before }: { readonly limit: number; readonly before?: number | undefined },
): Promise<{ readonly entries: readonly RecordEntryView[]; readonly next: number | null }> {
  const entries = await store.recordEntries(filter, limit + 1, before)
  const shown = entries.slice(0, limit)
  return {
    entries: await entryViews(store, shown),
    next: entries.length > limit ? (shown.at(-1) as RecordEntry).sequence : null,
  }
}

/** All entries that meet the filter, newest first, some at a time. */
export async function* recordPages(
  store: Store,
  filter: RecordFilter,
): AsyncGenerator<readonly RecordEntryView[]> {
  for (let before: number | undefined; ; ) {
    const { entries, next } = await recordPage(store, filter, { limit: AT_ONCE, before })
    yield entries
    if (next === null) return
    before = next
  }
}

async function entryViews(store: Store, entries: readonly RecordEntry[]): Promise<RecordEntryView[]> {
  const partNumbers = new Map((await store.partNumbers()).map((partNumber) => [partNumber.id, partNumber]))
  const names = await buildNames(store, entries)
  return entries.map((entry) => ({
    sequence: entry.sequence,
    at: entry.at,
    kind: entry.kind,
    who: entry.who,
    did: entryWords(entry, (id) => names.get(id) ?? String(id)),
    reason: typeof entry.words.reason === 'string' ? entry.words.reason : null,
    subjects: subjectViews(entry, partNumbers),
    erasures: entry.erasures,
    hash: entry.hash,
  }))
}

/** Names of the builds that changes of studies speak of. */
async function buildNames(
  store: Store,
  entries: readonly RecordEntry[],
): Promise<ReadonlyMap<number, string>> {
  const ids = new Set<number>()
  for (const { kind, details } of entries) {
    if (kind !== 'study') continue
    const change = details.change as { build?: number; span?: { from: number; to: number } | null }
    for (const id of [change.build, change.span?.from, change.span?.to]) if (id !== undefined) ids.add(id)
  }
  if (ids.size === 0) return new Map()
  return new Map((await store.buildNames([...ids])).map(({ id, name }) => [id, name]))
}

function subjectViews(
  { about }: RecordEntry,
  partNumbers: ReadonlyMap<number, PartNumber>,
): RecordSubjectView[] {
  const owners = about.filter(({ kind }) => kind === 'part-number')
  // One of several part numbers cannot be told apart here, so that nothing is led to the wrong one.
  const owner = owners.length === 1 ? (partNumbers.get(owners[0]?.id ?? 0) ?? null) : null
  return about.map(({ kind, id, name }) => {
    const own = kind === 'part-number' ? (partNumbers.get(id) ?? null) : owner
    const belongs =
      kind === 'import' || kind === 'report' || kind === 'token' || kind === 'gauge' ? null : own
    return {
      kind,
      id,
      words: kind === 'part-number' ? (name ?? String(id)) : `${kind.replaceAll('-', ' ')} ${name ?? id}`,
      partNumber: belongs === null ? null : { number: belongs.number, revision: belongs.revision },
      designator: kind === 'characteristic' ? (name ?? null) : null,
    }
  })
}

/** Columns of the record as a table. */
export const RECORD_COLUMNS = [
  'entry',
  'time (UTC)',
  'who',
  'kind',
  'what was done',
  'reason',
  'about',
  'erasures',
  'SHA-256',
] as const

/** One entry as the row of a table. */
export function recordRow(entry: RecordEntryView): readonly (string | number)[] {
  const { sequence, at, who, kind, did, reason, subjects, erasures, hash } = entry
  return [
    sequence,
    new Date(at * 1000).toISOString(),
    who ?? '',
    RECORD_KINDS[kind],
    did,
    reason ?? '',
    subjects.map(({ words }) => words).join('; '),
    erasures.join('; '),
    hash,
  ]
}
