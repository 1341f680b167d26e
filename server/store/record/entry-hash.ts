import { createHash } from 'node:crypto'
import { canonicalJson } from '../../canonical.ts'
import type { RecordEntryTable, RecordPersonalTable } from './record-tables.ts'

/** What the first entry names as the hash of the one before. */
export const BEFORE_THE_FIRST = '0'.repeat(64)

/**
 * SHA-256 of the previous hash and everything else that an entry holds, as canonical JSON (RFC 8785), in hexadecimal
 * digits. The format is fixed: a hash written once must come out the same for ever.
 */
export function entryHash(entry: Omit<RecordEntryTable, 'hash'>): string {
  const { sequence, at, kind, about, details, personal, previous } = entry
  return sha256(canonicalJson({ sequence, at, kind, about, details, personal, previous }))
}

/**
 * SHA-256 of the erasable part of an entry with its salt. The salt is 128 random bits and goes with what is erased, so
 * that nobody can try names against the hash that stays.
 */
export function personalHash({ who, content, salt }: Omit<RecordPersonalTable, 'sequence'>): string {
  return sha256(canonicalJson({ who, content, salt }))
}

/**
 * SHA-256 of a row of a table. Columns without a value do not count, so that a column added later leaves it as it is.
 */
export function rowHash(row: Readonly<Record<string, unknown>>): string {
  return sha256(canonicalJson(Object.fromEntries(Object.entries(row).filter(([, value]) => value !== null))))
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
