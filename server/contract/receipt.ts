/** What came of one file handed in: the inspector's receipt. */

export type FileKind = 'measurements' | 'characteristics' | 'builds' | 'furnace-loads'

/**
 * How a file lays its measurements out: one measurement a row; one part a row with a column for each
 * characteristic; one characteristic a row with a column for each part; blocks of one part each, under lines
 * that name it.
 */
export type Shape = 'measurement-a-row' | 'part-a-row' | 'characteristic-a-row' | 'blocks'

/**
 * taken: every row is in. taken-in-part: the inspector chose to take the good rows.
 * refused: nothing was changed. known: the same bytes were taken in before; nothing was changed.
 * cancelled: stopped by hand; nothing was changed.
 * asking: questions or doubts wait for a decision, or a preview was asked for; nothing was changed. Trying the
 * same job again with the decisions takes it in.
 */
export type ImportVerdict = 'taken' | 'taken-in-part' | 'refused' | 'known' | 'cancelled' | 'asking'

/** One row that was not taken in, and why. */
export interface RefusedRow {
  /** Line of the file, counted from 1, header included. */
  readonly line: number
  /** Heading of the column at fault; null where the row as a whole is at fault. */
  readonly column: string | null
  /** Place of that column in the file, counted from 1; absent where no single column is at fault. */
  readonly position?: number
  /** The text that stood there, shortened to 200 characters. */
  readonly value: string
  /** What is wrong and what to do, as a sentence. */
  readonly reason: string
}

/** Something done on the way that the inspector should know: a build created, a unit converted. */
export interface ReceiptNote {
  readonly text: string
}

/** What only a person can say of a file. Answered by a choice in `ImportChoices` or `LayoutChoices`. */
export interface Question {
  readonly about: 'part-number' | 'revision' | 'build' | 'date-order' | 'values' | 'column'
  readonly text: string
  /** For a column: its place in the file, counted from 1. */
  readonly position: number | null
  /** Answers to choose among; empty where the answer is free text. */
  readonly options: readonly { readonly choice: string; readonly text: string }[]
  /** Likely answer; null where none is likelier. */
  readonly suggested: string | null
  /** True where the file cannot be taken in before it is answered. */
  readonly waits: boolean
}

/** One value as it was read, for the preview. Texts are as the file has them. */
export interface ReadRow {
  readonly line: number
  /** Column of the value, counted from 1. */
  readonly position: number
  /** Meaning (as in `Reading.roles`) → text. */
  readonly fields: Readonly<Record<string, string>>
}

/** How the file was understood. Every part of it can be put right by hand with `LayoutChoices`. */
export interface Reading {
  /** Null for files that are not measurements. */
  readonly shape: Shape | null
  /** Line of the headings. */
  readonly headingLine: number
  readonly columns: readonly {
    /** Counted from 1. */
    readonly position: number
    readonly heading: string
    /** One of `roles`; null where the column is passed over. */
    readonly role: string | null
    readonly inWords: string | null
  }[]
  /** What a column can be taken for. */
  readonly roles: readonly { readonly role: string; readonly inWords: string }[]
  readonly decimalMark: '.' | ',' | null
  readonly dateOrder: 'day-month' | 'month-day' | null
  readonly values: 'actual' | 'deviation'
  /** What lines above the headings, and above the first block, say of all rows below them. */
  readonly context: readonly { readonly role: string; readonly inWords: string; readonly text: string }[]
  /** The first rows as they were read. */
  readonly rows: readonly ReadRow[]
  readonly questions: readonly Question[]
  /** Who decided how files of this layout are read, and when; null where nobody had to. */
  readonly remembered: { readonly who: string; readonly at: number } | null
}

/** How a file is to be read, where a person knows better than the program. What is absent is found by inspection. */
export interface LayoutChoices {
  readonly shape?: Shape
  /** Line of the headings, counted from 1. */
  readonly headingLine?: number
  /** Place of a column, counted from 1, → one of `Reading.roles`, or "none" to pass the column over. */
  readonly columns?: Readonly<Record<string, string>>
  readonly decimalMark?: '.' | ','
  readonly dateOrder?: 'day-month' | 'month-day'
  readonly values?: 'actual' | 'deviation'
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
  /** How the file was understood; absent where it could not be read as a table, and on receipts of old. */
  readonly reading?: Reading
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
  /** Used for rows that do not say their build, of parts that are not on record. */
  readonly build?: string | null
  /** True to have the beginning of the file shown as it would be read; nothing is taken in. */
  readonly preview?: boolean
  /** How to read the file; remembered for files of the same layout once this one is taken in. */
  readonly layout?: LayoutChoices | null
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
