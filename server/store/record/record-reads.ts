import { type ExpressionBuilder, type Kysely, type SelectQueryBuilder, sql } from 'kysely'
import type { Stage } from '../../../src/domain/cell.ts'
import type { RecordHead, RecordKind, RecordVerification, SubjectKind } from '../../contract/record.ts'
import type { Engine } from '../engine.ts'
import type { Schema } from '../schema.ts'
import type { Subject } from './recorder.ts'
import { type VerifyOptions, verifyRecord } from './verify-record.ts'

/** One entry of the record. */
export interface RecordEntry {
  readonly sequence: number
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  readonly kind: RecordKind
  /** Null where nobody was named. */
  readonly who: string | null
  readonly about: readonly { readonly kind: SubjectKind; readonly id: number; readonly name?: string }[]
  readonly details: Readonly<Record<string, unknown>>
  /** Free text and the like; what was erased is missing. */
  readonly words: Readonly<Record<string, string | number | null>>
  /** Sequences of the erasures that took something out of it. */
  readonly erasures: readonly number[]
  readonly hash: string
}

/** Which entries; those that meet all that is given. */
export interface RecordFilter {
  readonly kinds?: readonly RecordKind[] | undefined
  readonly who?: string | undefined
  /** About at least one of these. */
  readonly about?: readonly Subject[] | undefined
  /** Seconds since 1970-01-01 UTC, both inclusive. */
  readonly from?: number | undefined
  readonly to?: number | undefined
  /** Of one of these kinds and about one of these things at once. */
  readonly anyOf?:
    | readonly { readonly kinds: readonly RecordKind[]; readonly about: readonly Subject[] }[]
    | undefined
  /** Of this stage, or of none in particular. */
  readonly stage?: Stage | undefined
  /** Somewhere in its names, details or words, in capitals or not. */
  readonly text?: string | undefined
}

export interface RecordReads {
  /**
   * Newest first.
   *
   * @param before only entries below this sequence, so that page follows page however many there are
   */
  recordEntries(filter: RecordFilter, limit: number, before?: number): Promise<RecordEntry[]>
  recordHead(): Promise<RecordHead | null>
  /** Time of the first entry, in seconds since 1970-01-01 UTC; null where there is none. */
  recordSince(): Promise<number | null>
  /** Walk the whole record; see `verifyRecord`. */
  verifyRecord(options?: VerifyOptions): Promise<RecordVerification>
  /** Everybody whom an entry names, in alphabetical order. */
  recordPeople(): Promise<string[]>
}

export function recordReads({ db, snapshot }: Engine): RecordReads {
  return {
    verifyRecord: (options) => snapshot((one) => verifyRecord(one, options)),

    async recordEntries(filter, limit, before) {
      const rows = await filtered(db, filter)
        .$if(before !== undefined, (query) => query.where('e.sequence', '<', before as number))
        .select(['e.sequence', 'e.at', 'e.kind', 'p.who', 'e.about', 'e.details', 'p.content', 'e.hash'])
        .orderBy('e.sequence', 'desc')
        .limit(limit)
        .execute()
      const erasures = await erasuresOf(
        db,
        rows.map(({ sequence }) => sequence),
      )
      return rows.map(({ content, ...row }) => {
        const { row: _, ...words } = JSON.parse(content)
        return {
          ...row,
          at: Number(row.at),
          kind: row.kind as RecordKind,
          about: JSON.parse(row.about),
          details: JSON.parse(row.details),
          words,
          erasures: erasures.get(row.sequence) ?? [],
        }
      })
    },

    async recordHead() {
      const row = await db
        .selectFrom('record_entry')
        .select(['sequence', 'hash'])
        .orderBy('sequence', 'desc')
        .limit(1)
        .executeTakeFirst()
      return row ?? null
    },

    async recordSince() {
      const row = await db
        .selectFrom('record_entry')
        .select('at')
        .orderBy('sequence')
        .limit(1)
        .executeTakeFirst()
      return row === undefined ? null : Number(row.at)
    },

    async recordPeople() {
      const rows = await db
        .selectFrom('record_personal')
        .where('who', 'is not', null)
        .select('who')
        .distinct()
        .execute()
      return rows.map(({ who }) => who as string).sort((a, b) => a.localeCompare(b))
    },
  }
}

type Joined = Schema & { e: Schema['record_entry']; p: Schema['record_personal'] }

function filtered(
  db: Kysely<Schema>,
  { kinds, who, about, anyOf, from, to, stage, text }: RecordFilter,
): SelectQueryBuilder<Joined, 'e' | 'p', object> {
  let query = db
    .selectFrom('record_entry as e')
    .innerJoin('record_personal as p', 'p.sequence', 'e.sequence') as unknown as SelectQueryBuilder<
    Joined,
    'e' | 'p',
    object
  >
  if (kinds !== undefined) query = query.where('e.kind', 'in', kinds)
  if (who !== undefined) query = query.where('p.who', '=', who)
  if (from !== undefined) query = query.where('e.at', '>=', from)
  if (to !== undefined) query = query.where('e.at', '<=', to)
  if (about !== undefined) query = query.where((eb) => isAbout(eb, about))
  if (anyOf !== undefined) {
    query = query.where((eb) =>
      eb.or(anyOf.map((each) => eb.and([eb('e.kind', 'in', each.kinds), isAbout(eb, each.about)]))),
    )
  }
  if (stage !== undefined) {
    query = query.where((eb) =>
      eb.or([eb('e.details', 'like', `%"stage":"${stage}"%`), eb('e.details', 'not like', '%"stage":%')]),
    )
  }
  if (text !== undefined) {
    // As it stands inside JSON, with the pattern's own signs taken as they are.
    const inside = JSON.stringify(text.toLowerCase()).slice(1, -1)
    const pattern = `%${inside.replace(/[\\%_]/g, '\\$&')}%`
    query = query.where(
      sql<boolean>`lower(e.about || ' ' || e.details || ' ' || p.content || ' ' || coalesce(p.who, ''))
        like ${pattern} escape '\\'`,
    )
  }
  return query
}

function isAbout(eb: ExpressionBuilder<Joined, 'e' | 'p'>, about: readonly Subject[]) {
  return eb(
    'e.sequence',
    'in',
    eb
      .selectFrom('record_about')
      .where((of) => of.or(about.map(({ kind, id }) => of.and({ kind, id }))))
      .select('record_about.sequence'),
  )
}

async function erasuresOf(
  db: Kysely<Schema>,
  sequences: readonly number[],
): Promise<ReadonlyMap<number, readonly number[]>> {
  const erasures = new Map<number, number[]>()
  if (sequences.length === 0) return erasures
  const rows = await db
    .selectFrom('record_erased')
    .where('sequence', 'in', sequences)
    .select(['sequence', 'erasure'])
    .orderBy('erasure')
    .execute()
  for (const { sequence, erasure } of rows) {
    erasures.set(sequence, [...(erasures.get(sequence) ?? []), erasure])
  }
  return erasures
}
