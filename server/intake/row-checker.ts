import type { Nonconforming } from '../contract/receipt.ts'
import type { Doubts } from './doubts.ts'
import type { Fault } from './faults.ts'
import type { Columns } from './headings.ts'
import { MEANING_IN_WORDS, type Meaning } from './meaning.ts'
import type { NumberReader } from './numbers.ts'
import type { TimeReader } from './times.ts'

/** What a checker found wrong with a row that it had already let pass: a value that was there before. */
export interface LateFault {
  readonly line: number
  /** Column of the value in the file, counted from 1; absent where the row as a whole is at fault. */
  readonly position?: number
  readonly fault: Fault
}

/**
 * Checks the rows of one kind of file and writes the good ones. A row at fault leaves no trace.
 * Writes stand until the transaction around them is rolled back.
 */
export interface RowChecker {
  /** Look up at once what the rows to come refer to. */
  prepare(rows: readonly (readonly string[])[]): Promise<void>
  /** Null where the row is good and was noted down. `position` is the column of its value, counted from 1. */
  check(row: readonly string[], line: number, position: number): Fault | null
  /** A row whose value was not measured. */
  checkMissing(row: readonly string[]): void
  /** Write what was noted down, once there is enough of it. */
  advance(): Promise<readonly LateFault[]>
  /** Write what is left, with everything that sums up the rows. */
  finish(): Promise<readonly LateFault[]>
  readonly outOfSpecification: number
  /** Doubts raised so far; null for files that nothing is doubted of. */
  readonly doubts: Doubts | null
  /** The first values outside their limits. */
  readonly nonconforming: readonly Nonconforming[]
  /** The first values inside their limits and nearer to one than the uncertainty of measuring, and how many there are. */
  readonly nearLimits?: readonly Nonconforming[]
  readonly insideUncertainty?: number | null
  /** Gauge studies that were written. */
  readonly gaugeStudies?: readonly { readonly id: number; readonly plan: number | null }[]
  /** Part numbers that good rows speak of. */
  readonly partNumbers: ReadonlySet<number>
  /** What the person who brought the file may choose to have more rows taken. */
  readonly couldConvertUnits: boolean
  readonly couldNamePartNumber: boolean
}

/** The readers of a file's fields, shared by the checks of its rows. */
export interface Readers {
  readonly columns: Columns
  readonly numbers: NumberReader
  readonly times: TimeReader
}

/** Longest name of anything on record. */
const LONGEST_NAME = 200

/** Index of the column with each meaning; −1 where there is none. */
export function indicesOf(columns: Columns): Record<Meaning, number> {
  const indices = {} as Record<Meaning, number>
  for (const meaning of Object.keys(MEANING_IN_WORDS) as Meaning[]) {
    indices[meaning] = columns.meanings.indexOf(meaning)
  }
  return indices
}

/** The field without spaces around it; empty where the column is absent. */
export function field(row: readonly string[], index: number): string {
  const text = index < 0 ? '' : row[index]
  if (text === undefined || text === '') return ''
  const first = text.charCodeAt(0)
  const last = text.charCodeAt(text.length - 1)
  return first > 32 && first < 127 && last > 32 && last < 127 ? text : text.trim()
}

export function tooLongForName(text: string): boolean {
  return text.length > LONGEST_NAME
}

export function nameTooLong(meaning: Meaning, value: string): Fault {
  return { meaning, value, reason: `A name cannot be longer than ${LONGEST_NAME} characters.` }
}

/**
 * The text as a string of its own. A piece cut out of a chunk keeps the whole chunk in memory as long as it
 * lives, so what outlives the chunk has to be copied.
 */
export function own(text: string): string {
  // The engine copies what is shorter than 13 characters anyway.
  return text.length < 13 ? text : Buffer.from(text, 'utf16le').toString('utf16le')
}
