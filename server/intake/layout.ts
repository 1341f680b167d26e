import { createHash } from 'node:crypto'
import Papa from 'papaparse'
import type { ImportChoices, LayoutChoices, Question, ReadRow } from '../contract/receipt.ts'
import { DATES, DELIMITERS, type Dialect, fieldsOf, findDialect, NUMERIC, SEARCHED } from './dialect.ts'
import { shortened } from './faults.ts'
import { meaningsOf, plainHeading } from './headings.ts'
import { dateQuestion, markQuestion, namesQuestions, valuesQuestion } from './layout-questions.ts'
import { linesOf } from './lines-of.ts'
import type { Meaning } from './meaning.ts'
import { findDecimalMark, findGrouping, looksNumeric } from './numbers.ts'
import { ownLimitHeading } from './own-limit-heading.ts'
import type { Delimiter } from './rows.ts'
import { gridAt } from './shapes/find-grid.ts'
import { studyGridAt } from './shapes/find-study-grid.ts'
import type { FoundGrid, KnownNames } from './shapes/found-grid.ts'
import { columnsOfGrid, GridReader, type TallRows } from './shapes/grid.ts'
import { isBlank, isComment, labelPairs } from './shapes/label-lines.ts'
import { findDateOrder } from './times.ts'
import { madeUpHeadings, wordlessTable } from './wordless.ts'

/** How a file is read: its dialect, and where in its table the fields of a measurement stand. */
export interface Layout {
  readonly dialect: Dialect
  /** Null where the rows of the file are the rows that are checked. */
  readonly found: FoundGrid | null
  /** The file's own headings, with what each column was taken for. */
  readonly headings: readonly string[]
  readonly roles: readonly (Meaning | 'values' | null)[]
  readonly headingLine: number
  /** True where the mark that is not the decimal mark parts thousands. */
  readonly grouped: boolean
  readonly questions: readonly Question[]
  readonly firstRows: readonly ReadRow[]
}

/** Rows that a preview shows. */
const SHOWN = 12

interface Candidate {
  readonly delimiter: Delimiter
  /** Records above the headings; -1 where there are none, and the first record holds values. */
  readonly at: number
  /** The records of the file, and the line that each begins on. */
  readonly records: readonly (readonly string[])[]
  readonly lines: readonly number[]
  readonly found: FoundGrid
  readonly understood: number
}

/**
 * The layout that the beginning of a file shows, put right where a person said so.
 *
 * @param sample text with LF line ends; its last line may be cut off unless `complete`
 * @throws FileProblemError where no table is found, saying what is missing
 */
export function findLayout(
  sample: string,
  complete: boolean,
  known: KnownNames,
  choices: ImportChoices,
): Layout {
  const said = choices.layout ?? {}
  const plain = isEmpty(said) ? plainTable(sample, complete, known, choices) : null
  if (plain !== null) return plain
  const study = isEmpty(said) ? wideStudy(sample, complete, known) : null
  if (study !== null) return layoutOfGrid(study, known, choices, said)
  const best = bestGrid(sample, complete, known, choices, said)
  if (best === null) return layoutOfTable(findDialect(sample, complete), sample, complete, choices)
  if (best.found.repeated.length > 0 && best.found.grid.shape !== 'part-a-row') {
    // Says which column is doubtful.
    findDialect(sample, complete)
  }
  return layoutOfGrid(best, known, choices, said)
}

/** The only word that says nothing of the layout itself. */
function isEmpty(said: LayoutChoices): boolean {
  const { dateOrder: _, decimalMark: __, ...rest } = said
  return Object.keys(rest).length === 0
}

/** A table whose rows need no turning: one measurement a row with nothing above it, or no measurements at all. */
function plainTable(
  sample: string,
  complete: boolean,
  known: KnownNames,
  choices: ImportChoices,
): Layout | null {
  let dialect: Dialect
  try {
    dialect = findDialect(sample, complete)
  } catch {
    return null
  }
  const { kind } = dialect.columns
  if (kind === 'builds' || kind === 'furnace-loads' || kind === 'gauge-study' || kind === 'gauges')
    return layoutOfTable(dialect, sample, complete, choices)
  const records = recordsOf(sample, dialect.delimiter, complete)
  const found = gridAt(records, dialect.recordsAbove, known, choices.partNumber, {})
  if (kind === 'characteristics') {
    return found?.grid.shape === 'characteristic-a-row'
      ? null
      : layoutOfTable(dialect, sample, complete, choices)
  }
  const inBlocks = records.slice(dialect.recordsAbove + 1).some((record) => labelPairs(record) !== null)
  if (found === null || (found.context.size === 0 && !inBlocks)) {
    return layoutOfTable(dialect, sample, complete, choices)
  }
  return null
}

/** A gauge study with several readings a row. */
function wideStudy(sample: string, complete: boolean, known: KnownNames): Candidate | null {
  for (const delimiter of DELIMITERS) {
    const records = recordsOf(sample, delimiter, complete)
    for (let at = 0; at < Math.min(SEARCHED, records.length); at++) {
      const found = studyGridAt(records, at, known)
      if (found === null) continue
      return { delimiter, at, records, lines: linesOf(records), found, understood: found.understood }
    }
  }
  return null
}

function bestGrid(
  sample: string,
  complete: boolean,
  known: KnownNames,
  choices: ImportChoices,
  said: LayoutChoices,
): Candidate | null {
  if (said.headingLine === 0) return withoutHeadings(sample, complete, known, choices, said)
  let best: Candidate | null = null
  for (const delimiter of DELIMITERS) {
    const records = recordsOf(sample, delimiter, complete)
    const lines = linesOf(records)
    for (let at = 0; at < Math.min(SEARCHED * 2, records.length); at++) {
      const record = records[at] as readonly string[]
      if (said.headingLine !== undefined && lines[at] !== said.headingLine) continue
      if (isBlank(record) || isComment(record) || !reaches(record, said)) continue
      const found = gridAt(records, at, known, choices.partNumber, said)
      if (found === null) continue
      const tall = found.grid.shape === 'measurement-a-row' || found.grid.shape === 'blocks'
      // "Serial;S1" is a label with its value sooner than two headings.
      const doubtful = !tall && labelPairs(record) !== null
      const understood = found.understood + (tall ? 1 : 0) - (doubtful ? found.understood - 0.5 : 0)
      if (best === null || understood > best.understood) {
        best = { delimiter, at, records, lines, found, understood }
      }
    }
  }
  return best
}

/** Whether a line of headings has every column that a person said holds something; a title above it has not. */
function reaches(record: readonly string[], { columns }: LayoutChoices): boolean {
  return Object.entries(columns ?? {}).every(
    ([place, role]) => role === 'none' || Number(place) <= record.length,
  )
}

/** A table whose first line holds values, its columns as a person said. */
function withoutHeadings(
  sample: string,
  complete: boolean,
  known: KnownNames,
  choices: ImportChoices,
  said: LayoutChoices,
): Candidate | null {
  const table = wordlessTable(sample, complete)
  if (table === null) return null
  const records = recordsOf(sample, table.delimiter, complete)
  const headed = [madeUpHeadings(table.kinds.length), ...records]
  const found = gridAt(headed, 0, known, choices.partNumber, said)
  if (found === null) return null
  const { delimiter } = table
  return { delimiter, at: -1, records, lines: linesOf(records), found, understood: found.understood }
}

function recordsOf(sample: string, delimiter: Delimiter, complete: boolean): string[][] {
  const parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"' })
  return (parser.parse(sample, 0, !complete && sample.includes('\n')) as { data: string[][] }).data
}

function layoutOfTable(dialect: Dialect, sample: string, complete: boolean, choices: ImportChoices): Layout {
  const said = choices.layout ?? {}
  const { columns, delimiter, recordsAbove } = dialect
  const records = recordsOf(sample, delimiter, complete)
  const body = records.slice(recordsAbove + 1)
  const lines = linesOf(records)
  const value = columns.meanings.findIndex((meaning) => meaning === 'value' || meaning === 'deviation')
  const firstRows = body.flatMap((record, i) =>
    isBlank(record)
      ? []
      : [readRow(columns.meanings, record, lines[recordsAbove + 1 + i] as number, value + 1)],
  )
  const withChoices: Dialect = {
    ...dialect,
    decimalMark: said.decimalMark ?? dialect.decimalMark,
    dateOrder: said.dateOrder ?? dialect.dateOrder,
  }
  const dates = () => fieldsOf(body, columns, DATES)
  return {
    dialect: withChoices,
    found: null,
    headings: columns.headings,
    roles: columns.meanings,
    headingLine: lines[recordsAbove] as number,
    grouped: said.decimalMark !== undefined || findGrouping(fieldsOf(body, columns, NUMERIC)),
    questions:
      columns.kind === 'measurements' || columns.kind === 'characteristics'
        ? [
            ...dateQuestion(dates(), said),
            ...markQuestion(fieldsOf(body, columns, NUMERIC), delimiter, said),
            ...namesQuestions(columns.meanings, columns.kind === 'measurements', [], choices, () => []),
          ]
        : columns.kind === 'gauge-study' || columns.kind === 'gauges'
          ? [
              ...dateQuestion(dates(), said),
              ...markQuestion(fieldsOf(body, columns, NUMERIC), delimiter, said),
            ]
          : dateQuestion(dates(), said),
    firstRows: firstRows.slice(0, SHOWN),
  }
}

function layoutOfGrid(
  { delimiter, at, records, lines, found }: Candidate,
  known: KnownNames,
  choices: ImportChoices,
  said: LayoutChoices,
): Layout {
  const { grid } = found
  const columns = columnsOfGrid(grid, found.context)
  const sampled: TallRows = new GridReader(grid, columns).read(records.slice(at + 1), lines.slice(at + 1))
  const numbers = () => fieldsOf(sampled.rows, columns, NUMERIC)
  const dates = () => fieldsOf(sampled.rows, columns, DATES)
  const characteristics = [...new Set(sampled.rows.map((row) => nameIn(row, columns.meanings)))].filter(
    (n) => n !== '',
  )
  return {
    dialect: {
      delimiter,
      columns,
      recordsAbove: at,
      decimalMark: said.decimalMark ?? findDecimalMark(numbers(), delimiter),
      dateOrder: said.dateOrder ?? findDateOrder(dates()),
    },
    found,
    headings: grid.headings,
    roles: found.roles,
    headingLine: lines[at] ?? 0,
    grouped: said.decimalMark !== undefined || findGrouping(numbers()),
    questions: [
      ...dateQuestion(dates(), said),
      ...markQuestion(numbers(), delimiter, said),
      ...(grid.kind === 'gauge-study'
        ? []
        : [
            ...namesQuestions(columns.meanings, true, sampled.rows, choices, () =>
              known.partNumbersWith(characteristics),
            ),
            ...valuesQuestion(sampled.rows, columns.meanings, said),
          ]),
      ...found.unexplained.map(
        (index): Question => ({
          about: 'column',
          text: `Column ${index + 1}, "${shortened(grid.headings[index] as string)}", holds numbers, and ${ownLimitHeading(grid.headings[index] as string) === null ? 'the part number has no characteristic of this designator or name' : 'no column of values has the name that this limit belongs to'}. What is it?`,
          position: index + 1,
          options: [
            { choice: 'none', text: 'Pass the column over' },
            ...(columns.meanings.includes('build') ? [] : [{ choice: 'build', text: 'The build' }]),
            { choice: 'values', text: 'Measured values of a new characteristic' },
          ],
          suggested: null,
          waits: true,
        }),
      ),
    ],
    firstRows: sampled.rows
      .slice(0, SHOWN)
      .map((row, i) =>
        readRow(columns.meanings, row, sampled.lines[i] as number, sampled.fields[i] as number),
      ),
  }
}

function nameIn(row: readonly string[], meanings: readonly (Meaning | null)[]): string {
  return row[meanings.indexOf('characteristic')] || row[meanings.indexOf('characteristicName')] || ''
}

function readRow(
  meanings: readonly (Meaning | null)[],
  row: readonly string[],
  line: number,
  position: number,
): ReadRow {
  const fields: Record<string, string> = {}
  meanings.forEach((meaning, i) => {
    const text = (row[i] ?? '').trim()
    if (meaning !== null && text !== '') fields[meaning] = shortened(text)
  })
  return { line, position, fields }
}

/**
 * The same for files that write the same headings with the same delimiter, whatever is found in them: the
 * headings are the first of the widest records without numbers. Columns of parts, which are others in every file,
 * do not count: of headings of one characteristic a row only those that are known do. A file without headings goes by
 * its columns being numbers or text.
 */
export function fingerprintOf(sample: string, complete: boolean): string {
  let best: Fingerprinted | null = null
  for (const delimiter of DELIMITERS) {
    for (const record of recordsOf(sample, delimiter, complete).slice(0, SEARCHED)) {
      if (isComment(record) || labelPairs(record) !== null) continue
      const filled = record.map((cell) => cell.trim()).filter((cell) => cell !== '')
      const words = filled.filter((cell) => !looksNumeric(cell))
      const known = words.filter((cell) => meaningsOf(cell).length > 0)
      // Headings are known words more than anything else; without any, the widest line of words has to do.
      const cells = known.length * 100 + words.length
      if (words.length > 0 && cells > (best?.cells ?? 0)) {
        const byPart = known.some((cell) => meaningsOf(cell)[0] === 'characteristic') && !isTall(known)
        const isWordless = known.length === 0 && words.length < filled.length
        best = { delimiter, headings: byPart ? known : filled, cells, isWordless }
      }
    }
  }
  const wordless = best === null || best.isWordless ? wordlessTable(sample, complete) : null
  if (wordless !== null && wordless.headingLine === 0) {
    return sha256([wordless.delimiter, 'without headings', ...wordless.kinds])
  }
  const plain = best?.headings.map((heading) => plainHeading(heading) || heading) ?? []
  return sha256([best?.delimiter ?? '', plain])
}

interface Fingerprinted {
  readonly delimiter: Delimiter
  readonly headings: readonly string[]
  readonly cells: number
  /** True where numbers stand beside words that are not known: a row of values sooner than headings. */
  readonly isWordless: boolean
}

function sha256(parts: readonly unknown[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex')
}

function isTall(headings: readonly string[]): boolean {
  return headings.some((heading) =>
    meaningsOf(heading).some(
      (meaning) => meaning === 'value' || meaning === 'deviation' || meaning === 'serial',
    ),
  )
}
