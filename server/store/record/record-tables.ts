/**
 * Tables of the record: one entry for every act, chained by hash, never updated and never deleted; triggers refuse both.
 * What may have to be erased one day (names of people, free text, serial numbers) stands apart, and its entry holds
 * only a salted hash of it, so that erasing it leaves the chain whole.
 */
export interface RecordTables {
  record_entry: RecordEntryTable
  record_personal: RecordPersonalTable
  record_about: RecordAboutTable
  record_erased: RecordErasedTable
}

export interface RecordEntryTable {
  /** From 1 upwards, without gaps. */
  sequence: number
  /** Seconds since 1970-01-01 UTC. */
  at: number
  kind: string
  /** What it is about, as canonical JSON: an array of kind, id and, where there is one, name. */
  about: string
  /** Canonical JSON; nothing in it is personal. */
  details: string
  /** Hash of what stands in `record_personal`; see `personalHash`. */
  personal: string
  /** Hash of the entry before; zeros for the first. */
  previous: string
  /** See `entryHash`. */
  hash: string
}

/** The part of an entry that can be erased. */
export interface RecordPersonalTable {
  sequence: number
  /** Null where nobody was named. */
  who: string | null
  /** Canonical JSON: texts by name, and the hash of the row that was written. */
  content: string
  salt: string
}

/** `about` of the entries, to find them by. */
export interface RecordAboutTable {
  kind: string
  id: number
  sequence: number
}

/** That an erasure replaced the personal part of an entry; never updated and never deleted. */
export interface RecordErasedTable {
  sequence: number
  /** Sequence of the erasure's own entry. */
  erasure: number
  /** Hash of what stands in `record_personal` since. */
  personal: string
}
