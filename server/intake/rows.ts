import Papa from 'papaparse'
import { FileProblemError } from './faults.ts'

/** Characters that one record may have. Beyond it the file is no table of measurements. */
export const LONGEST_RECORD = 1_000_000

export type Delimiter = ',' | ';' | '\t' | '|'

/** Records of a file with the line that each begins on, counted from 1. */
export interface Rows {
  readonly rows: readonly (readonly string[])[]
  readonly lines: Int32Array
}

interface Parsed {
  readonly data: string[][]
  readonly errors: readonly { readonly code: string; readonly row: number }[]
  readonly meta: { readonly cursor: number }
}

/**
 * Splits text, handed over in chunks, into records. The text's lines must end in LF alone.
 * Line numbers stay true where quoted fields span lines.
 */
export class RowReader {
  readonly #parser: Papa.Parser
  #rest = ''
  #line = 1

  constructor(delimiter: Delimiter) {
    // Delimiter and line ending are decided beforehand: papaparse guesses them per chunk, and wrongly so where
    // a chunk is short. Headings are not its business either, since it renames the ones that occur twice.
    this.#parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"', header: false })
  }

  /** Records that are complete. @throws FileProblemError */
  push(text: string): Rows {
    const all = this.#rest === '' ? text : this.#rest + text
    const parsed = this.#parser.parse(all, 0, true) as Parsed
    const rows = this.#number(parsed, all)
    this.#rest = all.slice(parsed.meta.cursor)
    if (this.#rest.length > LONGEST_RECORD) throw tooLong(this.#line, this.#rest)
    return rows
  }

  /** What is left once the file has ended. @throws FileProblemError */
  end(): Rows {
    const all = this.#rest
    this.#rest = ''
    if (all === '') return { rows: [], lines: new Int32Array(0) }
    return this.#number(this.#parser.parse(all, 0, false) as Parsed, all)
  }

  #number(parsed: Parsed, text: string): Rows {
    const rows = parsed.data
    const lines = new Int32Array(rows.length)
    const spanning = text.includes('"') && lineBreaks(text.slice(0, parsed.meta.cursor)) !== rows.length
    for (let i = 0; i < rows.length; i++) {
      lines[i] = this.#line++
      const row = rows[i] as string[]
      if (text.length > LONGEST_RECORD) {
        const length = row.reduce((sum, field) => sum + field.length + 1, -1)
        if (length > LONGEST_RECORD) throw tooLong(lines[i] as number, row.join(','))
      }
      if (spanning) for (const field of row) this.#line += lineBreaks(field)
    }
    // An error in a record that is not complete yet only means that its end has not come.
    const error = parsed.errors.find((e) => e.row < rows.length)
    if (error !== undefined) {
      const line = lines[error.row] as number
      throw error.code === 'MissingQuotes' ? neverClosed(line) : badlyQuoted(line)
    }
    return { rows, lines }
  }
}

/** Number of LF in the text. */
function lineBreaks(text: string): number {
  let count = 0
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) count++
  return count
}

function tooLong(line: number, text: string): FileProblemError {
  const quote = text.startsWith('"') || /[,;\t|]"/.test(text.slice(0, 10_000))
  return new FileProblemError(
    `The record that begins on line ${line} is longer than ${LONGEST_RECORD.toLocaleString('en')} characters, which no table of measurements needs.`,
    `line ${line}`,
    quote
      ? 'Look for a quotation mark that is opened there and never closed.'
      : 'Check that the file is a table with one measurement to a line, and save it as CSV again.',
  )
}

function neverClosed(line: number): FileProblemError {
  return new FileProblemError(
    `A quotation mark opened in the record on line ${line} is never closed, so that where the record ends cannot be told.`,
    `line ${line}`,
    'Close the quotation mark, or remove it, and bring the file again.',
  )
}

function badlyQuoted(line: number): FileProblemError {
  return new FileProblemError(
    `In the record on line ${line} a quoted field has a quotation mark inside it that is not doubled, so that where the field ends cannot be told.`,
    `line ${line}`,
    'Write each quotation mark inside a quoted field twice, and bring the file again.',
  )
}
