import Papa from 'papaparse'
import { FileProblemError, shortened } from './faults.ts'
import { type Columns, countKnown, missingMeanings, readColumns, recogniseColumns } from './headings.ts'
import { BED_MEANINGS, LIMIT_MEANINGS, type Meaning } from './meaning.ts'
import { type DecimalMark, findDecimalMark } from './numbers.ts'
import { type Delimiter, LONGEST_RECORD } from './rows.ts'
import { type DateOrder, findDateOrder } from './times.ts'

/** How a file writes its table, decided once before its rows are read. */
export interface Dialect {
  readonly delimiter: Delimiter
  readonly columns: Columns
  /** Records above the line of headings: a title, a date, a blank line. */
  readonly recordsAbove: number
  /** Null where the beginning of the file shows no number with a mark. */
  readonly decimalMark: DecimalMark | null
  readonly dateOrder: DateOrder | null
}

export const DELIMITERS: readonly Delimiter[] = [',', ';', '\t', '|']

export const DELIMITER_IN_WORDS: Readonly<Record<Delimiter, string>> = {
  ',': 'comma',
  ';': 'semicolon',
  '\t': 'tab',
  '|': 'vertical bar',
}

/** Records among which the line of headings is looked for. */
export const SEARCHED = 30

/** Columns beyond which a record is no line of headings. */
const MOST_COLUMNS = 1000

/** Characters that the beginning of a file needs for its dialect to be found in it. */
const SAMPLE = 64 * 1024

export const NUMERIC: ReadonlySet<Meaning> = new Set([
  'value',
  'reference',
  'resolution',
  'uncertainty',
  'coverageFactor',
  'deviation',
  ...LIMIT_MEANINGS,
  ...BED_MEANINGS,
  'scaleX',
  'scaleY',
  'scaleZ',
])
export const DATES: ReadonlySet<Meaning> = new Set([
  'measuredAt',
  'printedAt',
  'sinteredAt',
  'calibratedOn',
  'due',
])

/**
 * The dialect that the beginning of a file shows: the delimiter under which a line of headings that the
 * program knows appears.
 *
 * @param sample text with LF line ends; its last line may be cut off unless `complete`
 * @throws FileProblemError where there is no such line, saying which headings were seen and which are needed
 */
export function findDialect(sample: string, complete: boolean): Dialect {
  if (sample.trim() === '') {
    throw new FileProblemError(
      'The file is empty.',
      null,
      'Export it again from the measuring machine and check its size before bringing it.',
    )
  }
  let best: { delimiter: Delimiter; columns: Columns; at: number; records: string[][] } | null = null
  let seen: { headings: readonly string[]; line: number } = { headings: [], line: 1 }
  let nearest: { columns: Columns; line: number } | null = null
  for (const delimiter of DELIMITERS) {
    const records = recordsOf(sample, delimiter, complete)
    for (let at = 0; at < Math.min(SEARCHED, records.length); at++) {
      const headings = (records[at] as string[]).map((heading) => heading.trim())
      if (headings.length > MOST_COLUMNS) continue
      const columns = recogniseColumns(headings)
      if (columns !== null) {
        if (best === null || countKnown(columns) > countKnown(best.columns))
          best = { delimiter, columns, at, records }
        break
      }
      if (headings.filter((heading) => heading !== '').length > seen.headings.length) {
        seen = { headings: headings.filter((heading) => heading !== ''), line: at + 1 }
      }
      const close = readColumns('measurements', headings)
      if (
        countKnown(close) >= 2 &&
        countKnown(close) > (nearest === null ? 0 : countKnown(nearest.columns))
      ) {
        nearest = { columns: close, line: at + 1 }
      }
    }
  }
  if (best === null) throw noHeadings(seen, nearest)
  if (best.columns.repeated.length > 0) throw repeatedHeadings(best.columns)
  const { delimiter, columns, at, records } = best
  const body = records.slice(at + 1)
  return {
    delimiter,
    columns,
    recordsAbove: at,
    decimalMark: findDecimalMark(fieldsOf(body, columns, NUMERIC), delimiter),
    dateOrder: findDateOrder(fieldsOf(body, columns, DATES)),
  }
}

function recordsOf(sample: string, delimiter: Delimiter, complete: boolean): string[][] {
  const parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"' })
  // A sample of one line still has to be looked at whole.
  const ignoreLast = !complete && sample.includes('\n')
  return (parser.parse(sample, 0, ignoreLast) as { data: string[][] }).data
}

/** The fields in columns of these meanings. */
export function* fieldsOf(
  records: readonly (readonly string[])[],
  { meanings }: Columns,
  wanted: ReadonlySet<Meaning>,
): Generator<string> {
  const indices = meanings.flatMap((meaning, i) => (meaning !== null && wanted.has(meaning) ? [i] : []))
  for (const record of records) for (const i of indices) yield record[i] ?? ''
}

const NEEDED =
  'Say on the page Intake what each column holds: it is remembered for files like it. Or name the columns on one line above the values, as “What a file needs” there has them: a file of measurements needs serial, characteristic and value.'

function noHeadings(
  seen: { headings: readonly string[]; line: number },
  nearest: { columns: Columns; line: number } | null,
): FileProblemError {
  if (nearest !== null) {
    const { columns, line } = nearest
    return new FileProblemError(
      `The headings do not say enough: ${missingMeanings(columns).join(' and ')} cannot be found among them.`,
      `line ${line}: ${listed(columns.headings)}`,
      NEEDED,
    )
  }
  return new FileProblemError(
    `None of the first ${SEARCHED} lines holds headings that this program knows.`,
    `line ${seen.line}: ${listed(seen.headings)}`,
    NEEDED,
  )
}

function repeatedHeadings({ repeated, headings }: Columns): FileProblemError {
  return new FileProblemError(
    `More than one column means the same as "${repeated[0]}", so that which of them counts cannot be told.`,
    `headings: ${listed(headings)}`,
    'Rename or remove all but one of them, and bring the file again.',
  )
}

function listed(headings: readonly string[]): string {
  const shown = headings.slice(0, 30).map((heading) => `"${shortened(heading)}"`)
  if (headings.length > shown.length) shown.push(`and ${headings.length - shown.length} more`)
  return shown.length === 0 ? 'no headings' : shown.join(', ')
}

/** True once the beginning of a file is long enough for `findDialect`. @throws FileProblemError */
export function sampleSuffices(sample: string): boolean {
  if (sample.length >= SAMPLE && sample.includes('\n')) return true
  if (sample.length > LONGEST_RECORD) {
    throw new FileProblemError(
      `The first line is longer than ${LONGEST_RECORD.toLocaleString('en')} characters, so that this is no table of measurements.`,
      'line 1',
      'Check that the file is a table with one measurement to a line, and save it as CSV again.',
    )
  }
  return false
}
