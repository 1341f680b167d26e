/** What came of one file handed in: the inspector's receipt. */

export type FileKind = 'measurements' | 'characteristics' | 'builds' | 'furnace-loads'

/**
 * taken: every row is in. taken-in-part: the inspector chose to take the good rows.
 * refused: nothing was changed. known: the same bytes were taken in before; nothing was changed.
 * cancelled: stopped by hand; nothing was changed.
 */
export type ImportVerdict = 'taken' | 'taken-in-part' | 'refused' | 'known' | 'cancelled'

/** One row that was not taken in, and why. */
export interface RefusedRow {
  /** Line of the file, counted from 1, header included. */
  readonly line: number
  /** Heading of the column at fault; null where the row as a whole is at fault. */
  readonly column: string | null
  /** The text that stood there, shortened to 200 characters. */
  readonly value: string
  /** What is wrong and what to do, as a sentence. */
  readonly reason: string
}

/** Something done on the way that the inspector should know: a build created, a unit converted. */
export interface ReceiptNote {
  readonly text: string
}

/** Why a file was refused as a whole, where no row can be named. */
export interface FileProblem {
  readonly what: string
  /** Where in the file, as words; null where nowhere in particular. */
  readonly where: string | null
  readonly next: string
}

/** What the inspector may choose after a refusal; each is a choice in `ImportChoices`. */
export type Remedy = 'take-good-rows' | 'convert-units' | 'name-part-number'

export interface ReceiptColumn {
  readonly heading: string
  /** The meaning it was read with, in words; null where it was kept as a condition or passed over. */
  readonly meaning: string | null
}

export interface Receipt {
  /** Number of the import on record; null where nothing was stored. */
  readonly importId: number | null
  readonly verdict: ImportVerdict
  readonly fileName: string
  readonly sha256: string
  readonly bytes: number
  readonly kind: FileKind | null
  /** For example "UTF-8, comma, decimal point"; null where the file could not be read as a table. */
  readonly dialect: string | null
  readonly columns: readonly ReceiptColumn[]
  readonly rowsRead: number
  readonly rowsTaken: number
  readonly rowsRefused: number
  /** Every refused row, in the order of the file. */
  readonly refused: readonly RefusedRow[]
  readonly notes: readonly ReceiptNote[]
  readonly problem: FileProblem | null
  readonly remedies: readonly Remedy[]
  /** Part numbers that the file touched, for the way on to their charts. */
  readonly partNumbers: readonly { readonly number: string; readonly revision: string }[]
  readonly outOfSpecification: number
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  /** For verdict "known": the import that took the same bytes in. */
  readonly earlierImportId: number | null
}

/** An import as a list shows it: its receipt without columns, rows and notes. */
export interface ImportSummary
  extends Pick<
    Receipt,
    | 'fileName'
    | 'sha256'
    | 'bytes'
    | 'verdict'
    | 'who'
    | 'at'
    | 'rowsRead'
    | 'rowsTaken'
    | 'rowsRefused'
    | 'outOfSpecification'
  > {
  readonly importId: number
  readonly kind: FileKind
}

/** GET /api/imports */
export interface ImportsView {
  /** Newest first. */
  readonly imports: readonly ImportSummary[]
}

/** What the inspector decided before, or after, reading the receipt. */
export interface ImportChoices {
  readonly who: string
  readonly takeGoodRows: boolean
  readonly convertUnits: boolean
  /** Used for rows that do not say their part number. */
  readonly partNumber: string | null
  readonly revision: string | null
}

/** How far a file has come. */
export interface ImportProgress {
  readonly job: string
  readonly fileName: string
  readonly state: 'waiting' | 'reading' | 'writing' | 'finished'
  readonly bytesRead: number
  readonly bytesTotal: number
  readonly rowsRead: number
  readonly receipt: Receipt | null
}
