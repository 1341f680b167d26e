/** The row of a kept file that something on record, or on a receipt, came from, as it stands there. */
export interface SourceRows {
  readonly fileName: string
  /** Null while the file is not taken in. */
  readonly importId: number | null
  /** Line that was asked for, counted from 1. */
  readonly line: number
  /** The very cell; null where the row as a whole is meant, or which of its cells it was cannot be told. */
  readonly cell: SourceCell | null
  /** Headings of the columns; empty for a file without them, and for one that is no table. */
  readonly headings: readonly string[]
  /** The row with those around it, as their cells stand there; of a file that is no table each line is one cell. */
  readonly rows: readonly {
    readonly line: number
    readonly cells: readonly string[]
  }[]
}

export interface SourceCell {
  /** Column, counted from 1; null in a file that is no table. */
  readonly position: number | null
  readonly heading: string | null
  /** As a spreadsheet calls the cell, as in "D12"; in a file that is no table the way to the element. */
  readonly reference: string
  /** The text that stands there. */
  readonly text: string
  /** What it was read as, in words; null where it was passed over. */
  readonly readAs: string | null
}
