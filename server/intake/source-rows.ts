import { columnLetters } from '../../src/words/column-letters.ts'
import type { Receipt } from '../contract/receipt.ts'
import type { SourceCell, SourceRows } from '../contract/source-rows.ts'
import { bytesOf, Decoder, type Encoding, EncodingFinder } from './decode.ts'
import { shortened } from './faults.ts'
import { MEANING_IN_WORDS } from './meaning.ts'
import { NumberReader } from './numbers.ts'
import { openQif, type QifFile } from './qif/qif-file.ts'
import { TableFile } from './read-table.ts'
import { delimiterInWords } from './reading-words.ts'
import { field, indicesOf } from './row-checker.ts'
import type { Delimiter } from './rows.ts'
import { splitUnit } from './units.ts'

/** Rows shown above the one that is meant, and below it. */
const AROUND = 3
/** Lines above it in which the rows above it are looked for: one may span several. */
const BEFORE = 50

/** A value on record that is looked for in its row. */
export interface SoughtValue {
  readonly serial: string
  /** What the characteristic may be called: its designator and its name. */
  readonly called: readonly string[]
  /** As it is on record. */
  readonly value: number
  /** How many equal values of the same part, characteristic and row stand before it. */
  readonly before: number
}

/**
 * What is meant in a row: the cell in this column, counted from 1; the cell of the value, in a file with one value a
 * row; the cell of a value on record; the row as a whole.
 */
export type SoughtCell = number | 'value' | SoughtValue | null

interface FoundRecord {
  readonly line: number
  /** Counted from 1: blank lines count, and a field that spans lines does not. */
  readonly number: number
  readonly cells: readonly string[]
}

/**
 * Read a row of a file again as it was read, by the layout that its receipt says, with the rows around it.
 *
 * @param path the file, byte for byte as it was brought
 * @returns null where no row begins on this line, or the receipt does not say how the file was read
 * @throws FileProblemError where the file cannot be read any more
 */
export async function sourceRows(
  path: string,
  receipt: Receipt,
  line: number,
  sought: SoughtCell,
): Promise<SourceRows | null> {
  const encoding = await encodingOf(path)
  const about = { fileName: receipt.fileName, importId: receipt.importId, line }
  const qif = await openQif(path, encoding, () => undefined)
  if (qif !== null) {
    const rows = await textAround(path, encoding, line)
    return rows === null ? null : { ...about, cell: await elementOn(qif, line, sought), headings: [], rows }
  }
  const delimiter = delimiterInWords(receipt.dialect ?? '')
  const around = delimiter === null ? null : await recordsAround(path, encoding, delimiter, line)
  if (delimiter === null || around === null) return null
  const columns = columnsOf(receipt)
  const meant = around.find((record) => record.line === line) as FoundRecord
  const index = columnIn(meant, columns, numbersOf(receipt, delimiter), sought)
  return {
    ...about,
    cell: index === null ? null : cellOf(meant, index, columns),
    headings: receipt.reading?.headingLine === 0 ? [] : columns.map(({ heading }) => heading),
    rows: around.map((record) => ({ line: record.line, cells: record.cells.map(shortened) })),
  }
}

async function encodingOf(path: string): Promise<Encoding> {
  const finder = new EncodingFinder()
  for await (const bytes of bytesOf(path)) finder.push(bytes)
  return finder.end()
}

/** The record that begins on a line, with those before and behind it; null where none does. */
async function recordsAround(
  path: string,
  encoding: Encoding,
  delimiter: Delimiter,
  line: number,
): Promise<readonly FoundRecord[] | null> {
  const table = await TableFile.open(path, encoding)
  let before: FoundRecord[] = []
  const from = line - BEFORE
  let [cut, behind, isFound] = [0, 0, false]
  try {
    for await (const { rows, lines, passed } of table.records(delimiter, from)) {
      for (let i = 0; i < rows.length; i++) {
        const number = passed + ++cut
        const own = lines[i] as number
        if (own > line && !isFound) return null
        if (own < from) continue
        before.push({ line: own, number, cells: rows[i] as readonly string[] })
        if (own < line) before = before.slice(-AROUND)
        else if (own === line) isFound = true
        else if (++behind === AROUND) return before
      }
    }
  } finally {
    await table.close()
  }
  return isFound ? before : null
}

/** A column as the receipt tells of it. */
interface ToldColumn {
  readonly heading: string
  readonly inWords: string | null
  readonly isValue: boolean
  readonly characteristic?: string
  readonly serial?: string
}

function columnsOf({ reading, columns }: Receipt): readonly ToldColumn[] {
  if (reading !== undefined) {
    const told = reading.columns.some(({ role }) => role === 'value' || role === 'values')
    return reading.columns.map(({ role, ...column }) => ({
      ...column,
      isValue: role === 'value' || role === 'values' || (!told && role === 'deviation'),
    }))
  }
  // Receipts of old say no more than what each heading meant.
  const isValue = columns.some(({ meaning }) => meaning === MEANING_IN_WORDS.value)
    ? MEANING_IN_WORDS.value
    : MEANING_IN_WORDS.deviation
  return columns.map(({ heading, meaning }) => ({ heading, inWords: meaning, isValue: meaning === isValue }))
}

function numbersOf({ reading, dialect }: Receipt, delimiter: Delimiter): NumberReader {
  const mark = reading?.decimalMark ?? (dialect?.includes('decimal comma') ? ',' : '.')
  return new NumberReader(delimiter, mark, true)
}

/** Which column of the row is meant, counted from 0; null where that cannot be told. */
function columnIn(
  { cells }: FoundRecord,
  columns: readonly ToldColumn[],
  numbers: NumberReader,
  sought: SoughtCell,
): number | null {
  if (typeof sought === 'number') return sought - 1
  if (sought === null) return null
  const ofValues = columns.flatMap(({ isValue }, i) => (isValue ? [i] : []))
  if (sought === 'value') return ofValues.length === 1 ? (ofValues[0] as number) : null
  const told = ofValues.filter((i) => {
    const { characteristic, serial } = columns[i] as ToldColumn
    if (serial !== undefined) return serial === sought.serial
    return characteristic !== undefined && sought.called.includes(characteristic)
  })
  const possible = told.length > 0 ? told : ofValues
  if (possible.length < 2) return possible[0] ?? null
  const equal = possible.filter((i) => {
    const text = field(cells, i)
    return numbers.read(splitUnit(text)?.number ?? text) === sought.value
  })
  // Several headings of one characteristic: the equal ones in the order of their columns.
  return told.length > 0 || equal.length === 1 ? (equal[sought.before] ?? null) : null
}

function cellOf({ number, cells }: FoundRecord, index: number, columns: readonly ToldColumn[]): SourceCell {
  const column = columns[index]
  return {
    position: index + 1,
    heading: column?.heading || null,
    reference: `${columnLetters(index)}${number}`,
    text: shortened(cells[index] ?? ''),
    readAs: column?.inWords ?? null,
  }
}

/** The element of a value that stands on a line; several may, since a document can be a single line. */
async function elementOn(qif: QifFile, line: number, sought: SoughtCell): Promise<SourceCell | null> {
  const value = typeof sought === 'object' ? sought : null
  const at = indicesOf(qif.dialect.columns)
  const found: { readonly row: readonly string[]; readonly element: string }[] = []
  for await (const { rows, lines, elements } of qif.rows()) {
    for (let i = 0; i < rows.length; i++) {
      if (lines[i] !== line) continue
      const row = rows[i] as readonly string[]
      if (value !== null && !isOf(row, at, value)) continue
      found.push({ row, element: elements[i] as string })
    }
  }
  const equal =
    value === null ? found : found.filter(({ row }) => Number(field(row, at.value)) === value.value)
  const one = found.length === 1 ? found[0] : equal[value?.before ?? 0]
  if (one === undefined || (value === null && found.length > 1)) return null
  return {
    position: null,
    heading: null,
    reference: one.element,
    text: shortened(field(one.row, at.value)),
    readAs: MEANING_IN_WORDS.value,
  }
}

function isOf(
  row: readonly string[],
  at: ReturnType<typeof indicesOf>,
  { serial, called }: SoughtValue,
): boolean {
  return (
    field(row, at.serial) === serial &&
    [at.characteristic, at.characteristicName].some((index) => called.includes(field(row, index)))
  )
}

/** Lines of a text around one of them, each as a single cell; null where the text has no such line. */
async function textAround(
  path: string,
  encoding: Encoding,
  line: number,
): Promise<SourceRows['rows'] | null> {
  // No delimiter splits what is no table: of XML a line with a vertical bar or a quotation mark stays whole.
  const decoder = new Decoder(encoding)
  const rows: { readonly line: number; readonly cells: readonly string[] }[] = []
  let [rest, at] = ['', 0]
  const take = (text: string) => {
    at++
    if (at >= line - AROUND && at <= line + AROUND) rows.push({ line: at, cells: [shortened(text)] })
  }
  for await (const bytes of bytesOf(path)) {
    const lines = (rest + decoder.push(bytes)).split('\n')
    rest = lines.pop() as string
    for (const text of lines) take(text)
    if (at > line + AROUND) break
  }
  if (at <= line + AROUND) take(rest + decoder.end())
  return rows.some((row) => row.line === line) ? rows : null
}
