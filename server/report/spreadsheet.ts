import { csvField } from '../../src/csv-field.ts'
import type { FiguresTable, TableValue } from './figures-table.ts'
import { withoutTimes } from './zip-times.ts'

/**
 * The table as CSV after RFC 4180, in UTF-8 with a mark in front, which spreadsheets need. Text that would be run as a
 * formula has an apostrophe in front, so that it stays text.
 */
export function csvOf({ headings, rows }: FiguresTable): string {
  const lines = [headings, ...rows].map((row) => row.map(field).join(','))
  return `\uFEFF${lines.join('\r\n')}\r\n`
}

function field(value: TableValue): string {
  if (value === null) return ''
  if (typeof value === 'number') return String(value)
  return csvField(value)
}

/** The table as a workbook of one sheet. Every text is a cell of the kind text, which is never run. */
export async function xlsxOf({ headings, rows }: FiguresTable): Promise<Buffer> {
  const head = headings.map((value) => ({ value, type: String, fontWeight: 'bold' as const }))
  const body = rows.map((row) =>
    row.map((value) => {
      if (value === null) return null
      if (typeof value === 'number') return { value, type: Number }
      // XML has no place for controls.
      return { value: value.replace(/\p{Cc}/gu, ' '), type: String, format: '@' }
    }),
  )
  const { default: writeXlsxFile } = await import('write-excel-file/node')
  const bytes = await writeXlsxFile([head, ...body], { sheet: 'figures', stickyRowsCount: 1 }).toBuffer()
  return withoutTimes(Buffer.from(bytes))
}
