import type { RECORD_KINDS } from '../../src/words/record-kinds.ts'

/** What was done: see `RECORD_KINDS`. */
export type RecordKind = keyof typeof RECORD_KINDS

/** What an entry can be about; the identity is that of the table's row. */
export const SUBJECT_KINDS = [
  'part-number',
  'characteristic',
  'build',
  'import',
  'exclusion',
  'finding',
  'remark',
  'factor-decision',
  'gauge',
  'report',
  'token',
  'person',
  'session',
  'guest-link',
] as const

export type SubjectKind = (typeof SUBJECT_KINDS)[number]

/** Something that does not agree with the record. */
export interface RecordFault {
  /** The entry that it is about; null where it is about none in particular. */
  readonly sequence: number | null
  /**
   * missing: an entry is gone. changed: it is not as it was written. moved: it stands in another's place. broken: it
   * does not follow from the one before. personal: its person or words are not as written. row: what it speaks of is
   * not. unrecorded: something has no entry. file: a kept file is not. head: the head noted earlier is not in it.
   */
  readonly kind:
    | 'missing'
    | 'changed'
    | 'moved'
    | 'broken'
    | 'personal'
    | 'row'
    | 'unrecorded'
    | 'file'
    | 'head'
  readonly what: string
}

/** The last entry of the record. Whoever keeps a copy of it can find out later whether the record was cut since. */
export interface RecordHead {
  readonly sequence: number
  readonly hash: string
}

/** What came of walking the whole record. */
export interface RecordVerification {
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  readonly entries: number
  /** Null while there is no entry. */
  readonly head: RecordHead | null
  /** In the order in which they were met; the first `MOST_FAULTS`. */
  readonly faults: readonly RecordFault[]
  /** All of them. */
  readonly faultCount: number
  /** Rows of tables, imports and kept files that were compared with their entries. */
  readonly rows: number
  readonly imports: number
  readonly files: number
  /** Entries out of which something was erased, as further entries say. */
  readonly erased: number
  /** The head that was expected, and whether it is in the record; null where none was given. */
  readonly expected: { readonly hash: string; readonly sequence: number | null } | null
}

/** Faults that are spelled out. */
export const MOST_FAULTS = 200

/** Something that an entry is about, with what a page needs to lead there. */
export interface RecordSubjectView {
  readonly kind: SubjectKind
  readonly id: number
  /** "characteristic 9 of HB-204 C" */
  readonly words: string
  /** The part number that it belongs to; null where it belongs to none. */
  readonly partNumber: { readonly number: string; readonly revision: string } | null
  /** Of a characteristic. */
  readonly designator: string | null
}

/** An entry as it is read. */
export interface RecordEntryView {
  readonly sequence: number
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  readonly kind: RecordKind
  /** Null where nobody was named. */
  readonly who: string | null
  /** What was done, in words that follow the name. */
  readonly did: string
  readonly reason: string | null
  readonly subjects: readonly RecordSubjectView[]
  /** Entries of the erasures that took something out of it. */
  readonly erasures: readonly number[]
  readonly hash: string
}

/** GET /api/record */
export interface RecordView {
  /** Newest first. */
  readonly entries: readonly RecordEntryView[]
  /** What to give as `before` for the next page; null on the last. */
  readonly next: number | null
  readonly head: RecordHead | null
  /** When the record begins; null while there is no entry. Seconds since 1970-01-01 UTC. */
  readonly since: number | null
  /** The last verification that this server made; null where it made none yet. */
  readonly verified: RecordVerification | null
}

/** GET /api/record/people */
export interface RecordPeopleView {
  readonly people: readonly string[]
}

/** GET /api/reports/:report/record */
export interface ReportRecordView {
  readonly number: number
  readonly title: string
  readonly partNumber: { readonly number: string; readonly revision: string }
  /** Characteristics of the report, to ask for the entries behind the figures of one. */
  readonly characteristics: readonly {
    readonly id: number
    readonly designator: string
    readonly name: string
  }[]
  /** Entries that shaped it, newest first: from before it was made, of its part number and stage. */
  readonly entries: readonly RecordEntryView[]
  readonly next: number | null
}
