import { rm } from 'node:fs/promises'
import type { ImportChoices, Receipt, ReceiptColumn, Remedy } from '../contract/receipt.ts'
import type { Store } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import { sync } from '../sync.ts'
import { blankReceipt } from './blank-receipt.ts'
import { ROWS_AT_ONCE } from './check-measurements.ts'
import { checkerOf } from './checker-of.ts'
import { cutOffLine, cutOffProblem } from './cut-off.ts'
import { bytesOf, type Encoding, EncodingFinder, isPacked } from './decode.ts'
import type { Dialect } from './dialect.ts'
import type { Doubts } from './doubts.ts'
import { Draft } from './draft.ts'
import { CancelledError, FileProblemError, shortened } from './faults.ts'
import { importRow } from './import-row.ts'
import { keepFile } from './keep-file.ts'
import { knownNames } from './known-names.ts'
import type { Layout } from './layout.ts'
import { LayoutMemory } from './layout-memory.ts'
import { type LikelyRole, likelyRoles } from './likely-roles.ts'
import { MEANING_IN_WORDS } from './meaning.ts'
import { type ChartedNow, chartedNow, newSignals } from './new-signals.ts'
import { Notes } from './notes.ts'
import { NumberReader } from './numbers.ts'
import { openQif, type QifFile } from './qif/qif-file.ts'
import { TableFile } from './read-table.ts'
import { readingOf, readingOfWordless, roleInWords } from './reading-of.ts'
import { dialectInWords, readingNotes, rememberedNotes } from './reading-words.ts'
import { Refusals } from './refusals.ts'
import type { Readers, RowChecker } from './row-checker.ts'
import type { TallRows } from './shapes/grid.ts'
import { TimeReader } from './times.ts'
import { uncertaintiesOnRecord } from './uncertainties.ts'
import type { WordlessTable } from './wordless.ts'

/** A file that lies ready to be taken in. */
export interface WaitingFile {
  readonly path: string
  /** As the person who brought it calls it. */
  readonly fileName: string
  readonly bytes: number
  readonly sha256: string
  /** True where nobody else writes to it, as to one that was received or copied for this. */
  readonly isOurs: boolean
}

export interface TakeInOptions {
  /** Folder where files taken in are kept byte for byte, each under its hash; null keeps none. */
  readonly filesFolder: string | null
  /** Called after every few thousand rows. */
  readonly onProgress?: (state: 'reading' | 'writing', bytesRead: number, rowsRead: number) => void
  readonly isCancelled?: () => boolean
  /** True to leave out which signals the file causes on charts. */
  readonly withoutSignals?: boolean
}

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
  const blank = blankReceipt({
    verdict: 'refused',
    fileName: file.fileName,
    sha256: file.sha256,
    bytes: file.bytes,
    problem: null,
    who: choices.who,
    at,
  })
  const earlier = async (): Promise<Receipt | null> => {
    const known = await store.importByHash(file.sha256)
    return known && { ...blank, verdict: 'known', kind: known.kind, earlierImportId: known.importId }
  }
  const known = await earlier()
  if (known !== null) return known
  let reading = new Reading(store, file, choices, options, blank)
  try {
    const receipt = await store.write(async (writer) => {
      // Begins afresh where another process got in the way, perhaps with the same file.
      await reading.undo()
      reading = new Reading(store, file, choices, options, blank)
      return (await earlier()) ?? (await reading.run(writer))
    }, 'beside')
    return await reading.withSignals(receipt)
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
  readonly #store: Store
  /** What the person who brought the file said, with what was said of earlier files like it. */
  #choices: ImportChoices
  readonly #memory: LayoutMemory
  readonly #options: TakeInOptions
  readonly #blank: Receipt
  /** Null until it is known where in the file its fields stand. */
  #refusals: Refusals | null = null
  #encoding: Encoding | null = null
  #packed = false
  #dialect: Dialect | null = null
  /** Null for QIF. */
  #layout: Layout | null = null
  /** The table as it lies there, where no layout was found. */
  #wordless: { readonly table: WordlessTable; readonly likely: readonly LikelyRole[] } | null = null
  #qif: QifFile | null = null
  #readers: Readers | null = null
  #rowsRead = 0
  #bytesRead = 0
  /** Line in the middle of which the file ends; null where it ends as files do. */
  #cutOffLine: number | null = null
  /** What the charts are made from before the file is in. */
  #chartedBefore: ChartedNow | null = null
  #touched: ReadonlySet<number> = new Set()
  /** A file put among the kept ones, to be taken away again if the transaction fails. */
  #kept: string | null = null

  constructor(
    store: Store,
    file: WaitingFile,
    choices: ImportChoices,
    options: TakeInOptions,
    blank: Receipt,
  ) {
    this.#store = store
    this.#memory = new LayoutMemory(choices)
    this.#file = file
    this.#choices = choices
    this.#options = options
    this.#blank = blank
  }

  async run(writer: Writer): Promise<Receipt> {
    // On its way to the disk while it is read, so that keeping it does not have to wait; a failure is met there.
    if (this.#file.isOurs) sync(this.#file.path).catch(() => undefined)
    this.#packed = await isPacked(this.#file.path)
    this.#encoding = await this.#findEncoding()
    this.#qif = await openQif(this.#file.path, this.#encoding, (bytes) => {
      this.#bytesRead = bytes
      this.#stopIfCancelled()
    })
    this.#dialect = this.#qif?.dialect ?? null
    const draft = new Draft(await writer.catalogue(ROWS_LEAST + Math.ceil(this.#file.bytes / BYTES_TO_A_ROW)))
    const notes = new Notes()
    const importId = draft.take('import')
    const table = this.#qif === null ? await TableFile.open(this.#file.path, this.#encoding) : null
    try {
      const rows =
        table === null ? qifRows(this.#qif as QifFile) : table.rows(await this.#findLayout(table, draft))
      const dialect = this.#dialect as Dialect
      this.#refusals = new Refusals(dialect, this.#layout)
      this.#readers = {
        columns: dialect.columns,
        numbers: new NumberReader(dialect.delimiter, dialect.decimalMark, this.#layout?.grouped),
        times: new TimeReader(dialect.dateOrder),
      }
      this.#stopToAsk()
      // Drawings, builds, furnace loads and gauges belong to every part number.
      if (dialect.columns.kind !== 'measurements') writer.requireAlone()
      // Measurements refer to their import, so it has to be there before them; its receipt follows.
      await writer.beginImport(importRow({ ...this.receipt(), importId, verdict: 'taken' }))
      const checker = checkerOf(
        dialect.columns.kind,
        writer,
        draft,
        notes,
        this.#readers,
        this.#choices,
        importId,
        dialect.columns.kind === 'measurements' ? await uncertaintiesOnRecord(this.#store) : null,
      )
      for await (const piece of rows) {
        if (table !== null) this.#bytesRead = table.bytesRead
        this.#stopIfCancelled()
        await this.#checkAll(piece, checker)
      }
      this.#cutOffLine = cutOffLine(table, this.#layout, this.#refusals)
      for (const label of table?.unknownLabels ?? []) {
        notes.say(
          `Lines that begin with "${shortened(label)}" say nothing that is known, and were passed over.`,
        )
      }
      return await this.#finish(writer, draft, checker, notes, importId)
    } finally {
      await table?.close()
    }
  }

  async #finish(
    writer: Writer,
    draft: Draft,
    checker: RowChecker,
    notes: Notes,
    importId: number,
  ): Promise<Receipt> {
    if (this.#rowsRead === 0) {
      throw new FileProblemError(
        'The file has headings and no rows below them.',
        null,
        'Export it again with its values, and bring it.',
      )
    }
    this.#options.onProgress?.('writing', this.#bytesRead, this.#rowsRead)
    if (checker.doubts !== null && this.#options.withoutSignals !== true) {
      this.#chartedBefore = await chartedNow(this.#store, checker.partNumbers)
      this.#touched = checker.partNumbers
    }
    ;(this.#refusals as Refusals).addAll(await checker.finish())
    this.#stopIfCancelled()
    return await this.#conclude(writer, draft, checker, notes, importId)
  }

  /** What is known so far, as a refusal. */
  receipt(): Receipt {
    const dialect = this.#dialect
    const refused = this.#refusals?.rows() ?? []
    return {
      ...this.#blank,
      kind: dialect?.columns.kind ?? null,
      dialect:
        this.#qif?.inWords ??
        dialectInWords(this.#encoding, this.#packed, dialect, this.#readers?.numbers.mark ?? null),
      columns: this.#columnsOfReceipt(),
      rowsRead: this.#rowsRead,
      rowsRefused: refused.length,
      refused,
      notes: [
        ...readingNotes(this.#encoding, dialect, this.#layout),
        ...rememberedNotes(this.#memory.remembered),
        ...(this.#qif?.notes() ?? []),
      ].map((text) => ({ text })),
      ...this.#readingOfReceipt(),
    }
  }

  #readingOfReceipt(): Pick<Receipt, 'reading'> {
    if (this.#layout !== null)
      return { reading: readingOf(this.#layout, this.#readers, this.#memory.remembered) }
    return this.#wordless === null
      ? {}
      : { reading: readingOfWordless(this.#wordless.table, this.#wordless.likely) }
  }

  #columnsOfReceipt(): ReceiptColumn[] {
    if (this.#layout !== null) {
      return this.#layout.headings.map((heading, i) => ({
        heading: shortened(heading),
        meaning: roleInWords(this.#layout as Layout, i),
      }))
    }
    const columns = this.#dialect?.columns
    return (columns?.headings ?? []).map((heading, i) => {
      const meaning = columns?.meanings[i] ?? null
      return { heading: shortened(heading), meaning: meaning === null ? null : MEANING_IN_WORDS[meaning] }
    })
  }

  /** The receipt of a file that is in, with the signals that it caused; noted on record as well. */
  async withSignals(receipt: Receipt): Promise<Receipt> {
    if (this.#chartedBefore === null || receipt.importId === null) return receipt
    const signals = await newSignals(this.#chartedBefore, this.#store, this.#touched)
    if (signals.length === 0) return receipt
    const { importId } = receipt
    await this.#store.write((writer) => writer.noteSignals(importId, signals))
    return { ...receipt, signals }
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

  /** The layout as the person said, else as someone said of an earlier file like it, else as it shows itself. */
  async #findLayout(table: TableFile, draft: Draft): Promise<Layout> {
    const known = knownNames(draft)
    this.#choices = await this.#memory.choicesFor(table.fingerprint(), this.#store)
    try {
      this.#layout = table.layout(known, this.#choices)
    } catch (error) {
      const wordless = error instanceof FileProblemError ? table.wordless(known) : null
      this.#wordless = wordless && { table: wordless, likely: likelyRoles(wordless, known) }
      throw error
    }
    this.#dialect = this.#layout.dialect
    return this.#layout
  }

  /** A preview ends here, and so does a file of which too little is known for its rows to be judged. */
  #stopToAsk(): void {
    const layout = this.#layout
    const asking =
      this.#choices.preview === true || (layout?.found != null && layout.questions.some(({ waits }) => waits))
    if (asking) throw new RefusedError({ ...this.receipt(), verdict: 'asking' })
  }

  async #checkAll(tall: TallRows, checker: RowChecker): Promise<void> {
    const { rows, lines, fields } = tall
    const refusals = this.#refusals as Refusals
    this.#rowsRead += tall.faults.length
    refusals.addAll(tall.faults)
    for (let start = 0; start < rows.length; start += ROWS_AT_ONCE) {
      const piece = rows.length <= ROWS_AT_ONCE ? rows : rows.slice(start, start + ROWS_AT_ONCE)
      await checker.prepare(piece)
      for (let i = 0; i < piece.length; i++) {
        const [line, position] = [lines[start + i] as number, fields[start + i] as number]
        const fault = checker.check(piece[i] as readonly string[], line, position)
        this.#rowsRead++
        if (fault !== null) refusals.add(line, position, fault)
      }
      refusals.addAll(await checker.advance())
      this.#stopIfCancelled()
      this.#options.onProgress?.('reading', this.#bytesRead, this.#rowsRead)
    }
    for (const row of tall.missing) checker.checkMissing(row)
  }

  #stopIfCancelled(): void {
    if (this.#options.isCancelled?.()) throw new CancelledError('stopped by hand')
  }

  /** The doubts, each with the heading that its value stands under. */
  #doubtful({ doubts }: RowChecker): ReturnType<Doubts['summary']> {
    const summary = doubts?.summary() ?? {}
    if (summary.doubts === undefined) return summary
    return {
      ...summary,
      doubts: summary.doubts.map((doubt) =>
        doubt.position === null || doubt.position === 0
          ? { ...doubt, position: null }
          : { ...doubt, column: (this.#refusals as Refusals).placeOf('value', doubt.position).column },
      ),
    }
  }

  async #conclude(
    writer: Writer,
    draft: Draft,
    checker: RowChecker,
    notes: Notes,
    importId: number,
  ): Promise<Receipt> {
    const receipt = this.receipt()
    const { doubts } = checker
    const rowsRefused = receipt.refused.length
    const rowsTaken = this.#rowsRead - rowsRefused - (doubts?.leftOut ?? 0)
    if (rowsRefused > 0 && (!this.#choices.takeGoodRows || rowsTaken === 0)) {
      const remedies: Remedy[] = []
      if (rowsTaken > 0) remedies.push('take-good-rows')
      if (checker.couldConvertUnits) remedies.push('convert-units')
      if (checker.couldNamePartNumber) remedies.push('name-part-number')
      const problem = this.#cutOffLine === null ? null : cutOffProblem(this.#cutOffLine)
      throw new RefusedError({ ...receipt, ...this.#doubtful(checker), problem, remedies })
    }
    if (doubts?.waiting) throw new RefusedError({ ...receipt, ...this.#doubtful(checker), verdict: 'asking' })
    const taken: Receipt = {
      ...receipt,
      // The rows themselves are in the store now.
      ...(receipt.reading === undefined ? {} : { reading: { ...receipt.reading, rows: [] } }),
      importId,
      verdict: rowsRefused === 0 ? 'taken' : 'taken-in-part',
      rowsTaken,
      notes: [
        ...receipt.notes,
        ...(this.#cutOffLine === null ? [] : [{ text: cutOffProblem(this.#cutOffLine).what }]),
        ...notes.all(),
      ],
      partNumbers: [...checker.partNumbers].map((id) => {
        const { number, revision } = draft.partNumberById(id).row
        return { number, revision }
      }),
      ...(checker.gaugeStudies === undefined ? {} : { gaugeStudies: checker.gaugeStudies }),
      outOfSpecification: checker.outOfSpecification,
      ...this.#doubtful(checker),
      ...(checker.nonconforming.length === 0 ? {} : { nonconforming: checker.nonconforming }),
      ...(checker.nearLimits === undefined || checker.nearLimits.length === 0
        ? {}
        : { nearLimits: checker.nearLimits }),
      ...(checker.insideUncertainty === undefined || checker.insideUncertainty === null
        ? {}
        : { insideUncertainty: checker.insideUncertainty }),
    }
    if (this.#options.filesFolder !== null) {
      const { path, sha256, isOurs } = this.#file
      this.#kept = await keepFile(path, this.#options.filesFolder, sha256, isOurs)
    }
    // Last of all, since nobody else can append to the record from here on.
    await writer.concludeImport(importRow(taken), [...checker.partNumbers])
    await this.#memory.remember(writer, this.#layout, this.#blank.at)
    return taken
  }
}

async function* qifRows(qif: QifFile): AsyncGenerator<TallRows> {
  for await (const { rows, lines } of qif.rows()) {
    yield { rows, lines, fields: new Uint16Array(rows.length), missing: [], faults: [] }
  }
}
