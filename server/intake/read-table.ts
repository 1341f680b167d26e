import type { ImportChoices } from '../contract/receipt.ts'
import { type BytesRead, bytesOf, Decoder, type Encoding } from './decode.ts'
import { sampleSuffices } from './dialect.ts'
import { findLayout, fingerprintOf, type Layout } from './layout.ts'
import { field, type LateFault } from './row-checker.ts'
import { type Delimiter, RowReader, type Rows } from './rows.ts'
import type { KnownNames } from './shapes/found-grid.ts'
import { fits, GridReader, type TallRows, wrongWidth } from './shapes/grid.ts'
import { isBlank, isComment } from './shapes/label-lines.ts'
import { type WordlessTable, wordlessTable } from './wordless.ts'

/**
 * Bytes made into text and rows together. The engine keeps longer strings outside of the young generation, where
 * clearing them away costs several times as much.
 */
const PIECE = 64 * 1024

/** A file of text that holds a table, read from its beginning to its end once. */
export class TableFile {
  readonly #pieces: AsyncGenerator<Buffer>
  readonly #decoder: Decoder
  readonly #read: BytesRead = { bytes: 0 }
  /** Labels above blocks of values that say nothing that is known, as far as rows were read. */
  readonly unknownLabels = new Set<string>()
  #sample = ''
  #complete = false
  #unended: { readonly line: number; readonly fields: number } | null = null

  /** The file with its beginning read. @throws FileProblemError */
  static async open(path: string, encoding: Encoding): Promise<TableFile> {
    const table = new TableFile(path, encoding)
    try {
      await table.#readSample()
    } catch (error) {
      await table.close()
      throw error
    }
    return table
  }

  private constructor(path: string, encoding: Encoding) {
    this.#pieces = bytesOf(path, this.#read)
    this.#decoder = new Decoder(encoding)
  }

  /** Bytes read so far, as they lie on disk. */
  get bytesRead(): number {
    return this.#read.bytes
  }

  /** @throws FileProblemError where the beginning of the file shows no table */
  layout(known: KnownNames, choices: ImportChoices): Layout {
    return findLayout(this.#sample, this.#complete, known, choices)
  }

  /** The table as it lies there, where no heading of it is known; null where it shows none. */
  wordless(known: KnownNames): WordlessTable | null {
    return wordlessTable(this.#sample, this.#complete, (text) => known.isCharacteristic(text, null))
  }

  /** The same for files that write their headings in the same way. */
  fingerprint(): string {
    return fingerprintOf(this.#sample, this.#complete)
  }

  /** All rows below the headings. @throws FileProblemError */
  async *rows(layout: Layout): AsyncGenerator<TallRows> {
    const { found } = layout
    const turn =
      found === null
        ? new PlainReader(layout)
        : new GridReader(found.grid, layout.dialect.columns, this.unknownLabels)
    let toSkip = layout.dialect.recordsAbove + 1
    const turned = ({ rows, lines }: Rows): TallRows => {
      const skipped = Math.min(toSkip, rows.length)
      toSkip -= skipped
      return skipped === 0 ? turn.read(rows, lines) : turn.read(rows.slice(skipped), lines.subarray(skipped))
    }
    for await (const records of this.records(layout.dialect.delimiter)) yield turned(records)
  }

  /** The last record where no line end comes after it; null where one does, and before the end was read. */
  get unended(): { readonly line: number; readonly fields: number } | null {
    return this.#unended
  }

  /**
   * All records as they stand in the file, from its first line on.
   *
   * @param from line before which records are of no use, and may be passed over; `passed` says how many were
   * @throws FileProblemError
   */
  async *records(delimiter: Delimiter, from = 0): AsyncGenerator<Rows & { readonly passed: number }> {
    const records = new RowReader(delimiter)
    const cut = (text: string) => ({ ...records.push(text, from), passed: records.passed })
    const text = this.#sample
    this.#sample = ''
    yield cut(text)
    if (!this.#complete) {
      for await (const bytes of this.#pieces) {
        for (let at = 0; at < bytes.length; at += PIECE) {
          yield cut(this.#decoder.push(bytes.subarray(at, at + PIECE)))
        }
      }
      yield cut(this.#decoder.end())
    }
    const last = records.end()
    const [record] = last.rows
    this.#unended = record === undefined ? null : { line: last.lines[0] as number, fields: record.length }
    yield { ...last, passed: records.passed }
  }

  async close(): Promise<void> {
    await this.#pieces.return(undefined)
  }

  async #readSample(): Promise<void> {
    while (!sampleSuffices(this.#sample)) {
      const { value, done } = await this.#pieces.next()
      if (done) {
        this.#sample += this.#decoder.end()
        this.#complete = true
        return
      }
      this.#sample += this.#decoder.push(value)
    }
  }
}

/** Passes on the rows of a table that need no turning. */
class PlainReader {
  readonly #headings: readonly string[]
  readonly #valueField: number

  constructor({ dialect }: Layout) {
    const { headings, meanings } = dialect.columns
    this.#headings = headings
    this.#valueField = 1 + meanings.findIndex((meaning) => meaning === 'value' || meaning === 'deviation')
  }

  read(records: readonly (readonly string[])[], recordLines: ArrayLike<number>): TallRows {
    const width = this.#headings.length
    const rows: (readonly string[])[] = []
    const lines: number[] = []
    const faults: LateFault[] = []
    for (let i = 0; i < records.length; i++) {
      const row = records[i] as readonly string[]
      if (field(row, 0) === '' && isBlank(row)) continue
      const line = recordLines[i] as number
      if (row.length !== width && !fits(row, width)) {
        if (!isComment(row)) faults.push({ line, fault: wrongWidth(row, width) })
        continue
      }
      // Headings stand again where files were put one behind the other.
      if (row[0] === this.#headings[0] && this.#headings.every((heading, k) => field(row, k) === heading))
        continue
      rows.push(row)
      lines.push(line)
    }
    return { rows, lines, fields: new Uint16Array(rows.length).fill(this.#valueField), missing: [], faults }
  }
}
