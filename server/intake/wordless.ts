import Papa from 'papaparse'
import type { ReadRow } from '../contract/receipt.ts'
import { DELIMITERS } from './dialect.ts'
import { shortened } from './faults.ts'
import { linesOf } from './lines-of.ts'
import { looksNumeric } from './numbers.ts'
import type { Delimiter } from './rows.ts'
import { isBlank, isComment } from './shapes/label-lines.ts'

/** A table of which no heading is known, laid out so that a person can say what its columns are. */
export interface WordlessTable {
  readonly delimiter: Delimiter
  /** Line of what look like headings; 0 where the first line of the table holds values already. */
  readonly headingLine: number
  /** As many as the table has columns; empty where there are no headings. */
  readonly headings: readonly string[]
  /** "number" or "text" for each column, by most of its cells. */
  readonly kinds: readonly ('number' | 'text')[]
  /** The records below the headings, as many as were looked at. */
  readonly records: readonly (readonly string[])[]
  /** The first rows, by the place of the column, counted from 1. */
  readonly rows: readonly ReadRow[]
}

const SHOWN = 12
/** Records that are looked at. */
const LOOKED_AT = 300

/**
 * The table that the beginning of a file holds whatever its words are: the delimiter that puts most cells into lines
 * of one width; null where no delimiter parts them into two or more.
 *
 * @param sample text with LF line ends; its last line may be cut off unless `complete`
 * @param isCharacteristic known designators and names: two numbers among them in one line are headings
 */
export function wordlessTable(
  sample: string,
  complete: boolean,
  isCharacteristic: (text: string) => boolean = () => false,
): WordlessTable | null {
  let best: {
    delimiter: Delimiter
    width: number
    records: string[][]
    lines: number[]
    cells: number
  } | null = null
  for (const delimiter of DELIMITERS) {
    const parser = new Papa.Parser({ delimiter, newline: '\n', quoteChar: '"' })
    const { data } = parser.parse(sample, 0, !complete && sample.includes('\n')) as { data: string[][] }
    const all = data.slice(0, LOOKED_AT)
    const kept = all.flatMap((record, i) => (isBlank(record) || isComment(record) ? [] : [i]))
    const width = widestShare(kept.map((i) => (all[i] as string[]).length))
    const fitting = kept.filter((i) => (all[i] as string[]).length === width)
    const cells = fitting.length * width
    if (width < 2 || (best !== null && cells <= best.cells)) continue
    const lines = linesOf(all)
    best = {
      delimiter,
      width,
      cells,
      records: fitting.map((i) => all[i] as string[]),
      lines: fitting.map((i) => lines[i] as number),
    }
  }
  if (best === null) return null
  const { delimiter, width, records, lines } = best
  const [first = []] = records
  const numbers = first.map((cell) => cell.trim()).filter(looksNumeric)
  const areDesignators =
    numbers.length > 1 &&
    numbers.length < first.length &&
    new Set(numbers).size === numbers.length &&
    numbers.every(isCharacteristic)
  const isHeaded =
    records.length > 1 &&
    (numbers.length === 0 || areDesignators) &&
    records.slice(1).some((r) => r.some(looksNumeric))
  const from = isHeaded ? 1 : 0
  const body = records.slice(from)
  return {
    delimiter,
    headingLine: isHeaded ? (lines[0] as number) : 0,
    headings: isHeaded ? first.map((heading) => heading.trim()) : [],
    kinds: Array.from({ length: width }, (_, column) => {
      const filled = body.map((record) => (record[column] as string).trim()).filter((cell) => cell !== '')
      return filled.length > 0 && filled.filter(looksNumeric).length * 2 > filled.length ? 'number' : 'text'
    }),
    records: body,
    rows: body.slice(0, SHOWN).map((record, i) => ({
      line: lines[from + i] as number,
      position: 1,
      fields: Object.fromEntries(
        record.map((cell, column) => [`column ${column + 1}`, shortened(cell.trim())]),
      ),
    })),
  }
}

/** Headings made up for a table that has none. */
export function madeUpHeadings(width: number): string[] {
  return Array.from({ length: width }, (_, column) => `column ${column + 1}`)
}

/**
 * The width that has the most cells beside the first of each line, the larger where two have as many: lines of a label
 * and its text may be more than those of the table, and are none.
 */
function widestShare(widths: readonly number[]): number {
  const cells = new Map<number, number>()
  for (const width of widths) cells.set(width, (cells.get(width) ?? 0) + width - 1)
  return [...cells].sort(([a, m], [b, n]) => n - m || b - a)[0]?.[0] ?? 0
}
