import type { Reading } from '../contract/receipt.ts'
import { DELIMITERS, SEARCHED } from './dialect.ts'
import { shortened } from './faults.ts'
import { linesOf, recordsOf } from './layout.ts'
import { looksNumeric } from './numbers.ts'
import { ROLES } from './reading-of.ts'
import { isBlank, isComment } from './shapes/label-lines.ts'

/** Rows shown of a file that is not understood. */
const SHOWN = 5

/**
 * A table whose headings are words that nobody knows, as the inspector is shown it to say what each column is; null
 * where nothing looks like a line of headings above rows with numbers. A first row that holds a number is not taken
 * for headings, since its value would be lost.
 *
 * @param sample as in `findLayout`
 */
export function unknownReading(sample: string, complete: boolean): Reading | null {
  let best: { records: readonly (readonly string[])[]; at: number; width: number } | null = null
  for (const delimiter of DELIMITERS) {
    const records = recordsOf(sample, delimiter, complete)
    const cells = (record: readonly string[]) =>
      isComment(record) ? 0 : record.filter((cell) => cell.trim() !== '').length
    const widths = records.slice(0, SEARCHED).map(cells)
    const width = Math.max(...widths)
    if (width >= 3 && width > (best?.width ?? 0)) best = { records, at: widths.indexOf(width), width }
  }
  if (best === null) return null
  const headings = best.records[best.at] as readonly string[]
  const lines = linesOf(best.records)
  const rows = best.records.flatMap((record, i) =>
    i <= (best?.at ?? 0) || isBlank(record) || isComment(record)
      ? []
      : [{ record, line: lines[i] as number }],
  )
  if (headings.some(looksNumeric) || !rows.some(({ record }) => record.some(looksNumeric))) return null
  const nameOf = (i: number) => `column ${i + 1}, ${shortened(headings[i] ?? '')}`
  return {
    shape: null,
    headingLine: lines[best.at] as number,
    columns: headings.map((heading, i) => ({
      position: i + 1,
      heading: shortened(heading.trim()),
      role: null,
      inWords: null,
    })),
    roles: ROLES,
    decimalMark: null,
    dateOrder: null,
    values: 'actual',
    context: [],
    rows: rows.slice(0, SHOWN).map(({ record, line }) => ({
      line,
      position: 1,
      fields: Object.fromEntries(record.map((cell, i) => [nameOf(i), shortened(cell.trim())])),
    })),
    questions: [],
    remembered: null,
  }
}
