import { rm } from 'node:fs/promises'
import type { FileKind, ImportChoices, Receipt, RefusedRow, Remedy } from '../contract/receipt.ts'
import type { Store } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import { CharacteristicChecker } from './check-characteristics.ts'
import { buildChecker, furnaceLoadChecker } from './check-conditions.ts'
import { MeasurementChecker, ROWS_AT_ONCE } from './check-measurements.ts'
import { bytesOf, Decoder, type Encoding, EncodingFinder } from './decode.ts'
import { type Dialect, findDialect, sampleSuffices } from './dialect.ts'
import { Draft } from './draft.ts'
import { CancelledError, type Fault, FileProblemError, shortened } from './faults.ts'
import { keepFile } from './keep-file.ts'
import { Notes } from './notes.ts'
import { NumberReader } from './numbers.ts'
import { openQif, type QifFile } from './qif/qif-file.ts'
import { dialectInWords, readingNotes } from './reading-words.ts'
import { field, type LateFault, own, type Readers, type RowChecker } from './row-checker.ts'
import { RowReader, type Rows } from './rows.ts'
import { TimeReader } from './times.ts'
import { MEANING_IN_WORDS } from './vocabulary.ts'

/** A file that lies ready to be taken in. */
export interface WaitingFile {
  readonly path: string
  /** As the person who brought it calls it. */
  readonly fileName: string
  readonly bytes: number
  readonly sha256: string
}

export interface TakeInOptions {
  /** Folder where files taken in are kept byte for byte, each under its hash; null keeps none. */
  readonly filesFolder: string | null
  /** Called after every few thousand rows. */
  readonly onProgress?: (state: 'reading' | 'writing', bytesRead: number, rowsRead: number) => void
  readonly isCancelled?: () => boolean
}

/** Refused rows after which reading on helps nobody. */
const MOST_REFUSED = 100_000

/** Identities to set aside for a file: about one to a row. */
const BYTES_TO_A_ROW = 32
const ROWS_LEAST = 1000

/**
 * Take one file in, all of it or nothing, and say on the receipt what came of it.
 * Whatever is wrong with the file is on the receipt; only failures of the program or the machine are thrown.
 */
export async function takeIn(
  store: Store,
  file: WaitingFile,
  choices: ImportChoices,
  options: TakeInOptions,
): Promise<Receipt> {
  const at = Math.floor(Date.now() / 1000)
  const blank: Receipt = {
    importId: null,
    verdict: 'refused',
    fileName: file.fileName,
    sha256: file.sha256,
    bytes: file.bytes,
    kind: null,
    dialect: null,
    columns: [],
    rowsRead: 0,
    rowsTaken: 0,
    rowsRefused: 0,
    refused: [],
    notes: [],
    problem: null,
    remedies: [],
    partNumbers: [],
    outOfSpecification: 0,
    who: choices.who,
    at,
    earlierImportId: null,
  }
  const earlier = async (): Promise<Receipt | null> => {
    const known = await store.importByHash(file.sha256)
    return known && { ...blank, verdict: 'known', kind: known.kind, earlierImportId: known.importId }
  }
  const known = await earlier()
  if (known !== null) return known
  let reading = new Reading(file, choices, options, blank)
  try {
    return await store.write(async (writer) => {
      // Begins afresh where another process got in the way, perhaps with the same file.
      await reading.undo()
      reading = new Reading(file, choices, options, blank)
      return (await earlier()) ?? (await reading.run(writer))
    }, 'beside')
  } catch (error) {
    await reading.undo()
    if (error instanceof RefusedError) return error.receipt
    if (error instanceof CancelledError) return { ...reading.receipt(), verdict: 'cancelled' }
    if (error instanceof FileProblemError) return { ...reading.receipt(), problem: error.problem }
    throw error
  }
}

/** Rolls the transaction back where the receipt says that nothing was changed. */
class RefusedError extends Error {
  readonly receipt: Receipt

  constructor(receipt: Receipt) {
    super('refused')
    this.receipt = receipt
  }
}

/** One file on its way through the stages. */
class Reading {
  readonly #file: WaitingFile
  readonly #choices: ImportChoices
  readonly #options: TakeInOptions
  readonly #blank: Receipt
  readonly #refused: RefusedRow[] = []
  #encoding: Encoding | null = null
  #dialect: Dialect | null = null
  #qif: QifFile | null = null
  #readers: Readers | null = null
  #rowsRead = 0
  #bytesRead = 0
  #recordsToSkip = 0
  /** A file put among the kept ones, to be taken away again if the transaction fails. */
  #kept: string | null = null

  constructor(file: WaitingFile, choices: ImportChoices, options: TakeInOptions, blank: Receipt) {
    this.#file = file
    this.#choices = choices
    this.#options = options
    this.#blank = blank
  }

  async run(writer: Writer): Promise<Receipt> {
    this.#encoding = await this.#findEncoding()
    this.#qif = await openQif(this.#file.path, this.#encoding, (bytes) => {
      this.#bytesRead = bytes
      this.#stopIfCancelled()
    })
    const decoder = new Decoder(this.#encoding)
    const draft = new Draft(await writer.catalogue(ROWS_LEAST + Math.ceil(this.#file.bytes / BYTES_TO_A_ROW)))
    const notes = new Notes()
    const importId = draft.take('import')
    let sample = ''
    let rows: RowReader | null = null
    let checker: RowChecker | null = null

    const begin = async (complete: boolean) => {
      const dialect = this.#qif?.dialect ?? findDialect(sample, complete)
      this.#dialect = dialect
      this.#recordsToSkip = this.#qif === null ? dialect.recordsAbove + 1 : 0
      this.#readers = {
        columns: dialect.columns,
        numbers: new NumberReader(dialect.delimiter, dialect.decimalMark),
        times: new TimeReader(dialect.dateOrder),
      }
      rows = new RowReader(dialect.delimiter)
      // Drawings, builds and furnace loads belong to every part number.
      if (dialect.columns.kind !== 'measurements') writer.requireAlone()
      // Measurements refer to their import, so it has to be there before them; its receipt follows.
      await writer.put('import', [importRow({ ...this.receipt(), importId, verdict: 'taken' })])
      checker = checkerOf(dialect.columns.kind, writer, draft, notes, this.#readers, this.#choices, importId)
      const text = sample
      sample = ''
      await this.#checkAll(rows.push(text), checker)
    }

    if (this.#qif !== null) {
      await begin(true)
      for await (const piece of this.#qif.rows())
        await this.#checkAll(piece, checker as unknown as RowChecker)
    } else {
      for await (const bytes of bytesOf(this.#file.path)) {
        this.#bytesRead += bytes.length
        this.#stopIfCancelled()
        const text = decoder.push(bytes)
        if (rows !== null && checker !== null) {
          await this.#checkAll((rows as RowReader).push(text), checker)
        } else {
          sample += text
          if (sampleSuffices(sample)) await begin(false)
        }
      }
    }
    const end = decoder.end()
    if (rows === null) {
      sample += end
      await begin(true)
    } else {
      await this.#checkAll((rows as RowReader).push(end), checker as unknown as RowChecker)
    }
    const [lastRows, lastChecker] = [rows as unknown as RowReader, checker as unknown as RowChecker]
    await this.#checkAll(lastRows.end(), lastChecker)
    if (this.#rowsRead === 0) {
      throw new FileProblemError(
        'The file has headings and no rows below them.',
        null,
        'Export it again with its values, and bring it.',
      )
    }
    this.#options.onProgress?.('writing', this.#bytesRead, this.#rowsRead)
    this.#note(await lastChecker.finish())
    this.#stopIfCancelled()
    return await this.#conclude(writer, draft, lastChecker, notes, importId)
  }

  /** What is known so far, as a refusal. */
  receipt(): Receipt {
    const dialect = this.#dialect
    const refused = [...this.#refused].sort((a, b) => a.line - b.line)
    return {
      ...this.#blank,
      kind: dialect?.columns.kind ?? null,
      dialect:
        this.#qif?.inWords ?? dialectInWords(this.#encoding, dialect, this.#readers?.numbers.mark ?? null),
      columns:
        dialect?.columns.headings.map((heading, i) => {
          const meaning = dialect.columns.meanings[i] ?? null
          return { heading: shortened(heading), meaning: meaning === null ? null : MEANING_IN_WORDS[meaning] }
        }) ?? [],
      rowsRead: this.#rowsRead,
      rowsRefused: refused.length,
      refused,
      notes: [...readingNotes(this.#encoding, dialect), ...(this.#qif?.notes() ?? [])].map((text) => ({
        text,
      })),
    }
  }

  /** Take back what a transaction that failed had put on disk. */
  async undo(): Promise<void> {
    if (this.#kept !== null) await rm(this.#kept, { force: true })
    this.#kept = null
  }

  async #findEncoding(): Promise<Encoding> {
    const finder = new EncodingFinder()
    for await (const bytes of bytesOf(this.#file.path)) {
      finder.push(bytes)
      this.#stopIfCancelled()
    }
    return finder.end()
  }

  async #checkAll({ rows, lines }: Rows, checker: RowChecker): Promise<void> {
    const width = (this.#dialect as Dialect).columns.headings.length
    for (let start = 0; start < rows.length; start += ROWS_AT_ONCE) {
      const piece = rows.slice(start, start + ROWS_AT_ONCE)
      const skipped = Math.min(this.#recordsToSkip, piece.length)
      this.#recordsToSkip -= skipped
      const body = skipped === 0 ? piece : piece.slice(skipped)
      await checker.prepare(body)
      for (let i = 0; i < body.length; i++) {
        const row = body[i] as readonly string[]
        if (field(row, 0) === '' && row.every((text) => text.trim() === '')) continue
        const line = lines[start + skipped + i] as number
        this.#rowsRead++
        const fault =
          row.length === width || fits(row, width) ? checker.check(row, line) : wrongWidth(row, width)
        if (fault !== null) this.#refuse(line, fault)
      }
      this.#note(await checker.advance())
      this.#stopIfCancelled()
      this.#options.onProgress?.('reading', this.#bytesRead, this.#rowsRead)
    }
  }

  #note(faults: readonly LateFault[]): void {
    for (const { line, fault } of faults) this.#refuse(line, fault)
  }

  #refuse(line: number, { meaning, value, reason }: Fault): void {
    const { headings, meanings } = (this.#dialect as Dialect).columns
    const index = meaning === null ? -1 : meanings.indexOf(meaning)
    this.#refused.push({
      line,
      column: index < 0 ? null : (headings[index] as string),
      value: own(shortened(value)),
      reason,
    })
    if (this.#refused.length >= MOST_REFUSED) {
      throw new FileProblemError(
        `${MOST_REFUSED.toLocaleString('en')} rows cannot be taken in, so reading was stopped on line ${line}.`,
        `line ${line}`,
        'Look at the first refused rows, correct the file as a whole, and bring it again.',
      )
    }
  }

  #stopIfCancelled(): void {
    if (this.#options.isCancelled?.()) throw new CancelledError('stopped by hand')
  }

  async #conclude(
    writer: Writer,
    draft: Draft,
    checker: RowChecker,
    notes: Notes,
    importId: number,
  ): Promise<Receipt> {
    const receipt = this.receipt()
    const rowsTaken = this.#rowsRead - this.#refused.length
    if (this.#refused.length > 0 && (!this.#choices.takeGoodRows || rowsTaken === 0)) {
      const remedies: Remedy[] = []
      if (rowsTaken > 0) remedies.push('take-good-rows')
      if (checker.couldConvertUnits) remedies.push('convert-units')
      if (checker.couldNamePartNumber) remedies.push('name-part-number')
      throw new RefusedError({ ...receipt, remedies })
    }
    const taken: Receipt = {
      ...receipt,
      importId,
      verdict: this.#refused.length === 0 ? 'taken' : 'taken-in-part',
      rowsTaken,
      notes: [...receipt.notes, ...notes.all()],
      partNumbers: [...checker.partNumbers].map((id) => {
        const { number, revision } = draft.partNumberById(id).row
        return { number, revision }
      }),
      outOfSpecification: checker.outOfSpecification,
    }
    await writer.put('import', [importRow(taken)])
    if (this.#options.filesFolder !== null) {
      this.#kept = await keepFile(this.#file.path, this.#options.filesFolder, this.#file.sha256)
    }
    return taken
  }
}

function checkerOf(
  kind: FileKind,
  writer: Writer,
  draft: Draft,
  notes: Notes,
  readers: Readers,
  choices: ImportChoices,
  importId: number,
): RowChecker {
  switch (kind) {
    case 'measurements':
      return new MeasurementChecker(writer, draft, notes, readers, choices, importId)
    case 'characteristics':
      return new CharacteristicChecker(writer, draft, notes, readers, choices)
    case 'builds':
      return buildChecker(writer, draft, notes, readers)
    case 'furnace-loads':
      return furnaceLoadChecker(writer, draft, notes, readers)
  }
}

/** Delimiters after the last column do no harm where nothing stands behind them. */
function fits(row: readonly string[], width: number): boolean {
  return row.length > width && row.slice(width).every((text) => text.trim() === '')
}

function wrongWidth(row: readonly string[], width: number): Fault {
  return {
    meaning: null,
    value: row.slice(0, 50).join(' | '),
    reason: `The row has ${row.length} ${row.length === 1 ? 'field' : 'fields'}, but there are ${width} headings. Look for a missing or surplus delimiter, or put quotation marks around a text that contains one.`,
  }
}

function importRow(receipt: Receipt) {
  return {
    id: receipt.importId as number,
    sha256: receipt.sha256,
    file_name: receipt.fileName,
    bytes: receipt.bytes,
    kind: receipt.kind as FileKind,
    verdict: receipt.verdict,
    who: receipt.who,
    at: receipt.at,
    rows_read: receipt.rowsRead,
    rows_taken: receipt.rowsTaken,
    rows_refused: receipt.rowsRefused,
    out_of_specification: receipt.outOfSpecification,
    receipt: JSON.stringify(receipt),
  }
}
