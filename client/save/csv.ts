import { csvField } from '../../src/csv-field.ts'

/** A table as it is shown and saved. Numbers are kept whole; `decimals` says how a column shows them. */
export interface TableModel {
  readonly caption: string
  readonly columns: readonly TableColumn[]
  readonly rows: readonly (readonly TableCell[])[]
}

export interface TableColumn {
  readonly heading: string
  /** Decimals of its numbers; null for a column of words. */
  readonly decimals: number | null
}

export type TableCell = string | number | null

/** The table as CSV after RFC 4180: comma, CR LF, quoted where needed, numbers unrounded with a decimal point. */
export function csvText(table: TableModel): string {
  const lines = [
    table.columns.map((column) => field(column.heading)),
    ...table.rows.map((row) => row.map(field)),
  ]
  return `${lines.map((line) => line.join(',')).join('\r\n')}\r\n`
}

function field(cell: TableCell): string {
  if (cell === null) return ''
  if (typeof cell === 'number') return String(cell)
  return csvField(cell)
}
