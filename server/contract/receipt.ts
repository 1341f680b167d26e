/** What came of one file handed in: the inspector's receipt. */

/**
 * A gauge study holds readings of the same parts again and again, or of parts of known value; a file of gauges is the
 * register of a shop's gauges.
 */
export type FileKind =
  | 'measurements'
  | 'characteristics'
  | 'builds'
  | 'furnace-loads'
  | 'gauge-study'
  | 'gauges'

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
  readonly about: 'part-number' | 'revision' | 'build' | 'date-order' | 'decimal-mark' | 'values' | 'column'
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
  /** Line of the headings; 0 where there are none, and the first line of the table holds values. */
  readonly headingLine: number
  readonly columns: readonly {
    /** Counted from 1. */
    readonly position: number
    readonly heading: string
    /** One of `roles`; null where the column is passed over. */
    readonly role: string | null
    readonly inWords: string | null
    /** One of `roles` that it may be, where the table is not understood; to be confirmed by a person. */
    readonly likely?: string
    /** What all values of the column are of, where it holds values of one characteristic or of one part. */
    readonly characteristic?: string
    readonly serial?: string
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
  readonly shape?: Shape | undefined
  /** Line of the headings, counted from 1; 0 where there are none. */
  readonly headingLine?: number | undefined
  /** Place of a column, counted from 1, → one of `Reading.roles`, or "none" to pass the column over. */
  readonly columns?: Readonly<Record<string, string>> | undefined
  readonly decimalMark?: '.' | ',' | undefined
  readonly dateOrder?: 'day-month' | 'month-day' | undefined
  readonly values?: 'actual' | 'deviation' | undefined
}

/**
 * What makes a value, a part or a file doubtful.
 * unit: the value fits where it is taken to be in another unit. decimal-point: where its decimal point is moved.
 * digits: where two neighbouring digits change places. sign: where it gets the sign that it lost.
 * exchanged: where it changes places with that of another characteristic of the part.
 * measured-before: the part has a value of the characteristic from an earlier file, measured at another time.
 * build-known: the file adds parts to a build of which parts were measured before.
 * before-build: the measurement lies before the printing of its build.
 * missing: more parts than usual lack the characteristic.
 */
export type DoubtKind =
  | 'unit'
  | 'decimal-point'
  | 'digits'
  | 'sign'
  | 'exchanged'
  | 'measured-before'
  | 'build-known'
  | 'before-build'
  | 'missing'

/** Something that may be right and may be a slip; shown before anything is stored, and decided by a person. */
export interface Doubt {
  readonly kind: DoubtKind
  /** The row, or the first of those that it speaks of; null where it speaks of the file as a whole. */
  readonly line: number | null
  /** Heading and place (counted from 1) of the column in the file; null where no single one is meant. */
  readonly column: string | null
  readonly position: number | null
  /** The value as the file has it; empty where no value is meant. */
  readonly value: string
  readonly serial: string | null
  readonly characteristic: string | null
  /** What is doubtful and why, as a sentence. */
  readonly text: string
  /** The value that was probably meant, in the unit of the characteristic; null where none can be named. */
  readonly likely: string | null
  /** Rows that it speaks of. */
  readonly rows: number
  /** True where the file is not taken in before it is decided; false where it is only shown. */
  readonly waits: boolean
  readonly decision: 'waiting' | 'kept' | 'left-out'
}

/**
 * What is decided of doubts. Stopping needs no decision: as long as one waits, nothing was changed. A value that
 * is kept is kept as measured, never changed.
 */
export interface DoubtChoices {
  /** Keep whatever is doubtful. */
  readonly all?: 'keep' | undefined
  /** For all doubts of a kind; exchanged values can be left out row by row only. */
  readonly kinds?: Partial<Readonly<Record<DoubtKind, 'keep' | 'leave-out' | undefined>>> | undefined
  /** For single doubts, as the receipt names them. They come before `kinds`. */
  readonly rows?:
    | readonly {
        readonly kind: DoubtKind
        readonly line: number
        readonly position: number | null
        readonly decision: 'keep' | 'leave-out'
      }[]
    | undefined
}

/** What the uncertainty of measuring leaves of a value near or outside a limit, by ISO 14253-1. */
export interface ReceiptConformity {
  readonly decision: 'conforming' | 'not conforming' | 'inside the uncertainty'
  /** Expanded uncertainty for k = 2, in the unit of the value. */
  readonly expanded: number
  /** Probability that the part conforms, if nothing but the measurement is known. */
  readonly probability: number
}

/** A value outside its specification limits, or nearer to one than the uncertainty of measuring. */
export interface Nonconforming {
  readonly line: number
  /** Column of the value in the file, counted from 1; absent where the file is no table, and on receipts of old. */
  readonly position?: number
  readonly serial: string
  readonly build: string
  readonly characteristic: string
  readonly stage: 'green' | 'sintered' | 'finished'
  readonly value: number
  readonly side: 'below' | 'above'
  readonly limit: number
  readonly unit: string
  /** Where the limit is the part's own: the value in units of its own tolerance. */
  readonly ofOwnTolerance?: number
  /** Absent where nothing is known of the gauge. */
  readonly conformity?: ReceiptConformity
}

/** A signal on a control chart that was not there before the file. */
export interface NewSignal {
  readonly number: string
  readonly revision: string
  readonly characteristic: string
  readonly stage: 'green' | 'sintered' | 'finished'
  /** Builds of the points that make it up. */
  readonly builds: readonly string[]
  /** The signal as a sentence. */
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
  /** Gauge studies that the file brought, with the plan that each was measured by. */
  readonly gaugeStudies?: readonly { readonly id: number; readonly plan: number | null }[]
  readonly outOfSpecification: number
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  /** For verdict "known": the import that took the same bytes in. */
  readonly earlierImportId: number | null
  /** How the file was understood; absent where it could not be read as a table, and on receipts of old. */
  readonly reading?: Reading
  /** The doubts one by one, a thousand at most; `doubtCounts` has them all. */
  readonly doubts?: readonly Doubt[]
  readonly doubtCounts?: readonly {
    readonly kind: DoubtKind
    readonly rows: number
    /** Rows of which nothing is decided yet. */
    readonly waiting: number
  }[]
  /** Rows left out because the inspector decided so. */
  readonly rowsLeftOut?: number
  /** Values outside the limits, a thousand at most; `outOfSpecification` counts them all. */
  readonly nonconforming?: readonly Nonconforming[]
  /** Values inside the limits, and nearer to one than the uncertainty of measuring; a thousand at most. */
  readonly nearLimits?: readonly Nonconforming[]
  /** How many of them there are in all; absent where nothing is known of any gauge. */
  readonly insideUncertainty?: number
  /** Signals that the file caused on the charts of the characteristics that it touched. */
  readonly signals?: readonly NewSignal[]
  /** Set once the import was withdrawn: its measurements count no more. */
  readonly withdrawn?: Withdrawal
}

/** Why an import was taken out again, by whom and when. */
export interface Withdrawal {
  readonly who: string
  readonly reason: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
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
  /** Null, or absent, while its measurements count. */
  readonly withdrawn?: Withdrawal | null
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
  readonly build?: string | null | undefined
  /** True to have the beginning of the file shown as it would be read; nothing is taken in. */
  readonly preview?: boolean | undefined
  /** How to read the file; remembered for files of the same layout once this one is taken in. */
  readonly layout?: LayoutChoices | null | undefined
  readonly doubts?: DoubtChoices | null | undefined
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
