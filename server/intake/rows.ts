import Papa from 'papaparse'
import { FileProblemError } from './faults.ts'

/** Characters that one record may have. Beyond it the file is no table of measurements. */
export const LONGEST_RECORD = 1_000_000

const LINE_FEED = 10
const QUOTE = 34

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
  readonly #delimiter: Delimiter
  /** Room for the code units of a piece of text. */
  #codes = Buffer.alloc(0)
  #rest = ''
  #line = 1
  #passed = 0

  constructor(delimiter: Delimiter) {
    // Delimiter and line ending are decided beforehand: papaparse guesses them per chunk, and wrongly so where
    // a chunk is short. Headings are not its business either, since it renames the ones that occur twice.
    this.#delimiter = delimiter
    this.#parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"', header: false })
  }

  /** Records that were passed over; see `push`. */
  get passed(): number {
    return this.#passed
  }

  /**
   * Records that are complete.
   *
   * @param from line before which records are of no use: those of text without quotation marks, where each line is one, are
   *   passed over uncut, which takes a fraction of the time
   * @throws FileProblemError
   */
  push(text: string, from = 0): Rows {
    const all = this.#rest === '' ? text : this.#rest + text
    if (this.#line < from && !all.includes('"')) {
      const count = lineBreaks(all)
      if (this.#line + count < from) {
        this.#line += count
        this.#passed += count
        this.#rest = all.slice(all.lastIndexOf('\n') + 1)
        if (this.#rest.length > LONGEST_RECORD) throw tooLong(this.#line, this.#rest)
        return { rows: [], lines: new Int32Array(0) }
      }
    }
    const plain = this.#plain(all)
    if (plain !== null) return plain
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

  /**
   * Records of text whose quotation marks, if there are any, stand around whole fields of one line. A field that says
   * what the field above it says is the same string, so that the rows of one part cost little memory and are told
   * to be of one part by a glance.
   *
   * @returns null where a quotation mark stands elsewhere, or a line end between two of them
   */
  #plain(text: string): Rows | null {
    const delimiter = this.#delimiter.charCodeAt(0)
    const codes = this.#codesOf(text)
    const rows: (readonly string[])[] = []
    const end = text.lastIndexOf('\n') + 1
    let before: readonly string[] = []
    // Steps through the record before, field by field with this one, and stays on its line end.
    let above = 0
    for (let at = 0; at < end; ) {
      const begin = at
      // A copy is quick, and always made in the young generation; so is not every array that is filled one by one.
      const row = before.slice()
      let n = 0
      for (let code = delimiter; code === delimiter; at++, n++) {
        const from = at
        code = codes[at] as number
        if (code === QUOTE) {
          at++
          while (codes[at] !== QUOTE && codes[at] !== LINE_FEED) at++
          if (codes[at++] === LINE_FEED) return null
          code = codes[at] as number
          if (code !== delimiter && code !== LINE_FEED) return null
          const length = at - from
          let same = 0
          while (same < length && codes[from + same] === codes[above + same]) same++
          if (same < length || n >= before.length) row[n] = text.slice(from + 1, at - 1)
          above = endOfField(codes, above, delimiter)
          if (codes[above] === delimiter) above++
          continue
        }
        while (code === codes[above] && code !== delimiter && code !== LINE_FEED && code !== QUOTE) {
          above++
          code = codes[++at] as number
        }
        const codeAbove = codes[above] as number
        const ends = code === delimiter || code === LINE_FEED
        const endsAbove = codeAbove === delimiter || codeAbove === LINE_FEED
        if (!ends || !endsAbove || n >= before.length) {
          while (code !== delimiter && code !== LINE_FEED) {
            if (code === QUOTE) return null
            code = codes[++at] as number
          }
          row[n] = text.slice(from, at)
          above = endOfField(codes, above, delimiter)
        }
        if (codes[above] === delimiter) above++
      }
      if (n < row.length) row.length = n
      if (at - begin - 1 > LONGEST_RECORD) throw tooLong(this.#line + rows.length, text.slice(begin, at - 1))
      rows.push(row)
      before = row
      above = begin
    }
    const lines = Int32Array.from(rows, (_, i) => this.#line + i)
    this.#line += rows.length
    this.#rest = text.slice(end)
    if (this.#rest.length > LONGEST_RECORD) throw tooLong(this.#line, this.#rest)
    return { rows, lines }
  }

  /** The code units of the text: looked at one by one, they are far quicker than the characters of a string. */
  #codesOf(text: string): Uint16Array {
    const bytes = text.length * 2
    if (this.#codes.length < bytes) this.#codes = Buffer.alloc(bytes)
    this.#codes.write(text, 'utf16le')
    return new Uint16Array(this.#codes.buffer, this.#codes.byteOffset, text.length)
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

/** Where the field ends that `at` stands in; a quotation mark can only be its first character. */
function endOfField(codes: Uint16Array, from: number, delimiter: number): number {
  let at = from
  if (codes[at] === QUOTE) {
    at++
    while (codes[at] !== QUOTE) at++
    return at + 1
  }
  while (codes[at] !== delimiter && codes[at] !== LINE_FEED) at++
  return at
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
