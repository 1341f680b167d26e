import type { Limits } from '../../src/capability/indices.ts'
import { momentsOf } from '../../src/description/moments.ts'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { inOwnTolerance } from '../../src/domain/own-limits.ts'
import type { Duplicate } from '../store/engine.ts'
import { STAGE_BITS } from '../store/schema.ts'
import type { Writer } from '../store/writer.ts'
import { BATCH, Batch } from './batch.ts'
import { CellKeeper } from './cell-keeper.ts'
import { CellSums } from './cell-sums.ts'
import { ConformityNotes } from './conformity-notes.ts'
import type { Doubts } from './doubts.ts'
import type { Draft, PartEntry } from './draft.ts'
import { Repeats } from './repeats.ts'
import type { LateFault } from './row-checker.ts'
import type { Uncertainties } from './uncertainties.ts'
import { ValuesOnLine } from './values-on-line.ts'

/** Limits hold for the part that the furnace made, not for the green one. */
const GREEN = STAGES.indexOf('green')

/** Parts held in memory before they are let go of; a part takes some 600 bytes. */
const PARTS_HELD = 30_000

/** Cells whose moments are handed to the store together. */
const CELLS_AT_ONCE = 5000

/** A batch on its way into the store. */
interface Writing {
  readonly batch: Batch
  readonly order: Uint32Array
  /** What was there before. */
  readonly written: Promise<readonly Duplicate[]>
}

/**
 * Writes good measurements in batches. Within a batch rows are put in the order of their cells, which is the
 * order that they have on disk, and the moments of each cell are taken from its values as one stretch.
 *
 * While one batch is being written the next is gathered, so that a store on another thread or machine and the
 * checks work side by side; what came of a batch is known once the next is full.
 */
export class MeasurementWriter {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #importId: number
  readonly conformity: ConformityNotes
  readonly #repeats: Repeats

  #batch = new Batch()
  #spare: Batch | null = new Batch()
  readonly #line = new ValuesOnLine()
  #writing: Writing | null = null
  /** Sent to the writer since the last batch was. */
  readonly #sent: Promise<unknown>[] = []
  readonly #values = new Float64Array(BATCH)

  readonly #cells: CellKeeper
  readonly #sums = new CellSums()
  /** Cells that measurements were moved into or out of: they are computed from their values at the end. */
  readonly #disturbed = new Set<number>()
  readonly #changedParts = new Set<PartEntry>()
  readonly #gaugesSeen = new Set<string>()
  #lastGauge = ''
  readonly #partsCounted = new Map<string, number>()
  #partsMoved = 0

  constructor(
    writer: Writer,
    draft: Draft,
    importId: number,
    doubts: Doubts,
    uncertainties: Uncertainties | null,
  ) {
    this.conformity = new ConformityNotes(draft, uncertainties)
    this.#repeats = new Repeats(writer, draft, importId, doubts)
    this.#cells = new CellKeeper(writer, draft)
    this.#writer = writer
    this.#draft = draft
    this.#importId = importId
  }

  /** Parts measured earlier whose furnace load became known. */
  get partsMoved(): number {
    return this.#partsMoved
  }

  /** Values kept as repeats of earlier ones, since they were measured at another time. */
  get remeasured(): number {
    return this.#repeats.remeasured
  }

  /** Room for `rows` more. */
  hasRoomFor(rows: number): boolean {
    return this.#batch.count + rows <= BATCH
  }

  /** Note a part whose row in the store has to be written, again or for the first time. */
  noteChanged(part: PartEntry): void {
    this.#changedParts.add(part)
  }

  /** @returns false where the same line gave this value already, and it is not taken a second time */
  add(
    part: PartEntry,
    characteristicId: number,
    stage: number,
    replicate: number,
    /** False where the file does not number its repeats, so that another time makes another one. */
    numbered: boolean,
    /** In the unit of the characteristic. */
    measured: number,
    /** Limits that allow a tolerance; null where those of the drawing hold. */
    own: Limits | null,
    gauge: number,
    inspector: number,
    measuredAt: number,
    line: number,
    position: number,
  ): boolean {
    if (!this.#line.isFirst(line, part.row.id, characteristicId, stage, replicate)) return false
    const batch = this.#batch
    const i = batch.count++
    batch.entries[i] = part
    batch.characteristic[i] = characteristicId
    batch.stage[i] = stage
    const columns = batch.columns
    columns.part[i] = part.row.id
    columns.replicate[i] = replicate
    batch.numbered[i] = numbered ? 1 : 0
    columns.value[i] = own === null ? measured : this.#judgedByOwn(i, measured, own)
    columns.gauge[i] = gauge
    columns.inspector[i] = inspector
    columns.measuredAt[i] = measuredAt
    columns.line[i] = line
    batch.position[i] = position
    const bit = STAGE_BITS[STAGES[stage] as Stage]
    if ((part.row.stages & bit) === 0) this.#firstAtStage(part, stage, bit)
    return true
  }

  /** @returns the value in units of the part's own tolerance, which is what its cell sums up */
  #judgedByOwn(i: number, measured: number, { lower, upper }: Limits): number {
    this.#batch.own.set(i, { measured, lower, upper })
    return inOwnTolerance(measured, { lower, upper }) as number
  }

  /** Begin to write what is gathered. @returns what was wrong with the batch before */
  async flush(): Promise<LateFault[]> {
    const batch = this.#batch
    for (const put of this.#draft.unsaved()) await this.#send(put)
    await this.#cells.load(batch.entries)
    await this.#cells.load(this.#changedParts)
    await this.#moveIntoLoads()
    await this.#saveParts()
    const order = await this.#placeInCells(batch)
    const before = this.#writing
    this.#writing = null
    const there = before === null ? [] : await before.written
    // Repeats that the batch before still has to write come before the rows of this one; else the store has
    // something to do while the batch before is summed up.
    const faults = before !== null && there.length > 0 ? await this.#settle(before, there) : []
    const written = this.#insert(batch, order)
    if (this.#writer.inOrder !== true) await written
    if (before !== null && there.length === 0) await this.#settle(before, there)
    this.#writing = { batch, order, written }
    this.#batch = this.#spare ?? new Batch()
    this.#spare = null
    if (this.#draft.partsHeld > PARTS_HELD) {
      this.#draft.forgetParts()
      // Parts that are let go of were the only ones to hold on to cells.
      this.#cells.forgetUnused()
    }
    return faults
  }

  /** Have the writer do something; one that keeps to the order by itself is not waited for before the batch is. */
  async #send(call: (writer: Writer) => Promise<unknown>): Promise<void> {
    const sent = call(this.#writer)
    if (this.#writer.inOrder !== true) {
      await sent
      return
    }
    sent.catch(() => undefined)
    this.#sent.push(sent)
  }

  /** @returns what was there before, once this batch and all that was sent ahead of it is written */
  #insert(batch: Batch, order: Uint32Array): Promise<readonly Duplicate[]> {
    const inserted = this.#writer.insertMeasurements(this.#importId, batch.columns, order)
    const written = Promise.all([...this.#sent.splice(0), inserted]).then(() => inserted)
    // Awaited at the next batch: until then its failure is nobody's.
    written.catch(() => undefined)
    return written
  }

  /** Take note of a batch that is written. */
  async #settle({ batch, order }: Writing, there: readonly Duplicate[]): Promise<LateFault[]> {
    const { duplicates, leftOut } = await this.#repeats.keepRemeasured(batch, there)
    const notWritten = new Set([...duplicates.map(({ index }) => index), ...leftOut])
    this.#sumUp(batch, order, notWritten)
    await this.#saveOwnLimits(batch, notWritten)
    const faults = await this.#repeats.explain(batch, duplicates)
    batch.clear()
    this.#spare = batch
    return faults
  }

  /** Write what sums up the file. Nothing may be added afterwards. */
  async finish(): Promise<LateFault[]> {
    const faults = await this.flush()
    const last = this.#writing as Writing
    this.#writing = null
    for (const fault of await this.#settle(last, await last.written)) faults.push(fault)
    for (const cell of this.#disturbed) this.#sums.delete(cell)
    for (const moments of this.#sums.pieces(CELLS_AT_ONCE)) await this.#writer.mergeCells(moments)
    await this.#writer.recomputeCells(this.#disturbed)
    await this.#writer.noteGauges(
      [...this.#gaugesSeen].map((key) => {
        const [partNumber, stage, build, gauge] = key.split('/').map(Number) as [
          number,
          number,
          number,
          number,
        ]
        return { part_number_id: partNumber, stage: STAGES[stage] as Stage, build_id: build, gauge_id: gauge }
      }),
    )
    await this.#writer.countParts(
      [...this.#partsCounted].map(([key, parts]) => {
        const [partNumber, stage, build] = key.split('/').map(Number) as [number, number, number]
        return { part_number_id: partNumber, stage: STAGES[stage] as Stage, build_id: build, parts }
      }),
    )
    return faults
  }

  /** The first value of a part at a stage cannot have one before it, so it is sure to be written. */
  #firstAtStage(part: PartEntry, stage: number, bit: number): void {
    part.row.stages |= bit
    this.noteChanged(part)
    const key = `${part.row.part_number_id}/${stage}/${part.row.build_id}`
    this.#partsCounted.set(key, (this.#partsCounted.get(key) ?? 0) + 1)
  }

  /** Parts stored without a furnace load whose load is known now take their measurements along. */
  async #moveIntoLoads(): Promise<void> {
    const moving = new Map<string, PartEntry[]>()
    for (const part of this.#changedParts) {
      if (!part.loadLearnt) continue
      part.loadLearnt = false
      if (!part.stored) continue
      const key = `${part.row.part_number_id}/${part.row.build_id}/${part.row.furnace_load_id}`
      const parts = moving.get(key)
      if (parts === undefined) moving.set(key, [part])
      else parts.push(part)
    }
    for (const parts of moving.values()) {
      const [first] = parts as [PartEntry]
      const ids = new Set(parts.map((part) => part.row.id))
      this.#partsMoved += ids.size
      for (const stage of STAGES) {
        for (const [characteristic, from] of this.#cells.at(first.row.build_id, null, stage)) {
          const entry = this.#draft.characteristicById(characteristic)
          if (entry.row.part_number_id !== first.row.part_number_id) continue
          const target = this.#cells.at(first.row.build_id, first.row.furnace_load_id, stage)
          const to = this.#cells.cell(target, characteristic, first, stage)
          await this.#saveCells()
          await this.#writer.moveMeasurements(from, to, ids)
          // An emptied cell goes, and so does a new one that nothing came into, when they are computed.
          this.#disturbed.add(from).add(to)
        }
      }
    }
  }

  async #saveParts(): Promise<void> {
    const changed = [...this.#changedParts]
    this.#changedParts.clear()
    const added = changed.filter((part) => !part.stored).map((part) => part.row)
    const moved = changed.filter((part) => part.stored).map((part) => part.row)
    if (added.length > 0) await this.#send((writer) => writer.insertParts(added))
    if (moved.length > 0) await this.#send((writer) => writer.placeParts(moved))
    for (const part of changed) part.stored = true
  }

  async #saveCells(): Promise<void> {
    const cells = this.#cells.takeNew()
    if (cells.length > 0) await this.#send((writer) => writer.insertCells(cells))
  }

  /** Give every measurement its cell; the order in which they lie by cell, and by line within a cell. */
  async #placeInCells(batch: Batch): Promise<Uint32Array> {
    const count = batch.count
    const keys = new Float64Array(count)
    for (let i = 0; i < count; i++) {
      const part = batch.entries[i] as PartEntry
      const stage = STAGES[batch.stage[i] as number] as Stage
      let cells = part.cells[stage]
      if (cells === undefined) {
        cells = this.#cells.at(part.row.build_id, part.row.furnace_load_id, stage)
        part.cells[stage] = cells
      }
      const cell = this.#cells.cell(cells, batch.characteristic[i] as number, part, stage)
      batch.columns.cell[i] = cell
      keys[i] = cell * BATCH + i
    }
    await this.#saveCells()
    keys.sort()
    const order = new Uint32Array(count)
    for (let i = 0; i < count; i++) order[i] = (keys[i] as number) % BATCH
    return order
  }

  /** Moments, gauges and conformity of what was written. */
  #sumUp(batch: Batch, order: Uint32Array, left: ReadonlySet<number>): void {
    const { cell, value } = batch.columns
    let start = 0
    while (start < order.length) {
      const first = order[start] as number
      const id = cell[first] as number
      const { least, most, limits } = this.conformity.beyondDoubt(batch.characteristic[first] as number)
      let end = start
      let n = 0
      for (; end < order.length && cell[order[end] as number] === id; end++) {
        const i = order[end] as number
        if (left.size > 0 && left.has(i)) continue
        const measured = value[i] as number
        this.#values[n++] = measured
        if ((measured < least || measured > most) && batch.stage[i] !== GREEN) {
          this.conformity.note(batch, i, limits)
        }
        if (batch.columns.gauge[i] !== 0) this.#noteGauge(batch, i)
      }
      if (n > 0) {
        this.#sums.add(id, momentsOf(this.#values.subarray(0, n)))
      }
      start = end
    }
  }

  /** Limits of parts' own go in once it is known under which replicate their values are. */
  async #saveOwnLimits(batch: Batch, notWritten: ReadonlySet<number>): Promise<void> {
    const written = [...batch.own].filter(([i]) => !notWritten.has(i))
    if (written.length === 0) return
    const limits = written.map(([, own]) => own)
    await this.#writer.insertOwnLimits(this.#importId, {
      part: Int32Array.from(written, ([i]) => batch.columns.part[i] as number),
      characteristic: Int32Array.from(written, ([i]) => batch.characteristic[i] as number),
      stage: Uint8Array.from(written, ([i]) => batch.stage[i] as number),
      replicate: Int32Array.from(written, ([i]) => batch.columns.replicate[i] as number),
      measured: Float64Array.from(limits, ({ measured }) => measured),
      lower: Float64Array.from(limits, ({ lower }) => lower ?? Number.NaN),
      upper: Float64Array.from(limits, ({ upper }) => upper ?? Number.NaN),
    })
  }

  #noteGauge(batch: Batch, i: number): void {
    const { part_number_id, build_id } = (batch.entries[i] as PartEntry).row
    const key = `${part_number_id}/${batch.stage[i]}/${build_id}/${batch.columns.gauge[i]}`
    if (key === this.#lastGauge) return
    this.#lastGauge = key
    this.#gaugesSeen.add(key)
  }
}
