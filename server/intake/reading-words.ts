import type { Encoding } from './decode.ts'
import { DELIMITER_IN_WORDS, type Dialect } from './dialect.ts'
import { shortened } from './faults.ts'
import type { DecimalMark } from './numbers.ts'

/** How a file was read, as the receipt says it; null where it could not be read as a table. */
export function dialectInWords(
  encoding: Encoding | null,
  dialect: Dialect | null,
  mark: DecimalMark | null,
): string | null {
  if (encoding === null || dialect === null) return null
  const decimals = mark === null ? 'whole numbers' : mark === '.' ? 'decimal point' : 'decimal comma'
  return `${encoding}, ${DELIMITER_IN_WORDS[dialect.delimiter]}, ${decimals}`
}

/** What the inspector should know of how the file was read, whatever came of it. */
export function readingNotes(encoding: Encoding | null, dialect: Dialect | null): string[] {
  const notes: string[] = []
  if (encoding === 'Windows-1252') {
    notes.push('The file is not valid UTF-8 and was read as Windows-1252. Check names with accents or signs.')
  }
  if (dialect === null) return notes
  const { recordsAbove, columns } = dialect
  if (recordsAbove > 0) {
    notes.push(`${recordsAbove} ${recordsAbove === 1 ? 'line' : 'lines'} above the headings passed over.`)
  }
  const unknown = columns.headings.filter((heading, i) => columns.meanings[i] === null && heading !== '')
  if (unknown.length > 0) {
    const list = unknown.map(shortened).join(', ')
    notes.push(
      columns.kind === 'builds' || columns.kind === 'furnace-loads'
        ? `Kept as conditions: ${list}.`
        : `Columns passed over because their headings are not known: ${list}.`,
    )
  }
  return notes
}
