import type { Limits } from '../../src/capability/indices.ts'
import { momentsOf } from '../../src/description/moments.ts'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { conformity } from '../../src/gauges/conformity.ts'
import type { Nonconforming } from '../contract/receipt.ts'
import type { Duplicate, MeasurementColumns, NewCell } from '../store/engine.ts'
import { STAGE_BITS } from '../store/schema.ts'
import type { RecordedValue } from '../store/spreads.ts'
import type { Writer } from '../store/writer.ts'
import { CellSums } from './cell-sums.ts'
import type { Doubts } from './doubts.ts'
import type { Draft, PartEntry } from './draft.ts'
import type { LateFault } from './row-checker.ts'
import type { Uncertainties } from './uncertainties.ts'

/** Measurements gathered before they are written together, in the order of their cells. */
const BATCH = 1 << 16

/** Values outside their limits that a receipt spells out. */
const LISTED = 1000

/** Limits hold for the part that the furnace made, not for the green one. */
const GREEN = STAGES.indexOf('green')

/** Parts held in memory before they are let go of; a part takes some 600 bytes. */
const PARTS_HELD = 30_000

/** Cells whose moments are handed to the store together. */
const CELLS_AT_ONCE = 5000

/** Columns in memory that threads share, so that handing a batch to the thread that writes copies nothing. */
const integers = () => new Int32Array(new SharedArrayBuffer(BATCH * Int32Array.BYTES_PER_ELEMENT))
const numbers = () => new Float64Array(new SharedArrayBuffer(BATCH * Float64Array.BYTES_PER_ELEMENT))

/** Measurements noted down and not written yet. Its columns stay as they are while they are being written. */
class Batch {
  count = 0
  readonly columns = {
    cell: integers(),
    part: integers(),
    replicate: integers(),
    value: numbers(),
    gauge: integers(),
    inspector: integers(),
    measuredAt: numbers(),
    line: integers(),
  } satisfies MeasurementColumns
  readonly entries: PartEntry[] = []
  readonly characteristic = new Int32Array(BATCH)
  readonly stage = new Uint8Array(BATCH)
  /** Column of each value in the file, counted from 1. */
  readonly position = new Uint16Array(BATCH)
  /** 1 where the file numbers the repeat itself. */
  readonly numbered = new Uint8Array(BATCH)
}

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
  readonly #doubts: Doubts
  #remeasured = 0
  readonly nonconforming: Nonconforming[] = []
  readonly nearLimits: Nonconforming[] = []

  #batch = new Batch()
  #spare: Batch | null = new Batch()
  #writing: Writing | null = null
  /** Sent to the writer since the last batch was. */
  readonly #sent: Promise<unknown>[] = []
  readonly #values = new Float64Array(BATCH)

  /** Cells by build, furnace load and stage, then by identity of the characteristic. */
  readonly #cells = new Map<string, Map<number, number>>()
  readonly #loadedBuilds = new Set<number>()
  #newCells: NewCell[] = []
  readonly #sums = new CellSums()
  /** Cells that measurements were moved into or out of: they are computed from their values at the end. */
  readonly #disturbed = new Set<number>()
  readonly #changedParts = new Set<PartEntry>()
  readonly #gaugesSeen = new Set<string>()
  #lastGauge = ''
  readonly #partsCounted = new Map<string, number>()
  #partsMoved = 0
  #outOfSpecification = 0

  readonly #uncertainties: Uncertainties | null
  #insideUncertainty = 0

  constructor(
    writer: Writer,
    draft: Draft,
    importId: number,
    doubts: Doubts,
    uncertainties: Uncertainties | null,
  ) {
    this.#uncertainties = uncertainties
    this.#doubts = doubts
    this.#writer = writer
    this.#draft = draft
    this.#importId = importId
  }

  get outOfSpecification(): number {
    return this.#outOfSpecification
  }

  /** Values inside their limits that the uncertainty of measuring leaves open; null where nothing is known of gauges. */
  get insideUncertainty(): number | null {
    return this.#uncertainties === null ? null : this.#insideUncertainty
  }

  /** Parts measured earlier whose furnace load became known. */
  get partsMoved(): number {
    return this.#partsMoved
  }

  /** Values kept as repeats of earlier ones, since they were measured at another time. */
  get remeasured(): number {
    return this.#remeasured
  }

  /** Room for `rows` more. */
  hasRoomFor(rows: number): boolean {
    return this.#batch.count + rows <= BATCH
  }

  /** Note a part whose row in the store has to be written, again or for the first time. */
  noteChanged(part: PartEntry): void {
    this.#changedParts.add(part)
  }

  add(
    part: PartEntry,
    characteristicId: number,
    stage: number,
    replicate: number,
    /** False where the file does not number its repeats, so that another time makes another one. */
    numbered: boolean,
    value: number,
    gauge: number,
    inspector: number,
    measuredAt: number,
    line: number,
    position: number,
  ): void {
    const batch = this.#batch
    const i = batch.count++
    batch.entries[i] = part
    batch.characteristic[i] = characteristicId
    batch.stage[i] = stage
    const columns = batch.columns
    columns.part[i] = part.row.id
    columns.replicate[i] = replicate
    batch.numbered[i] = numbered ? 1 : 0
    columns.value[i] = value
    columns.gauge[i] = gauge
    columns.inspector[i] = inspector
    columns.measuredAt[i] = measuredAt
    columns.line[i] = line
    batch.position[i] = position
    const bit = STAGE_BITS[STAGES[stage] as Stage]
    if ((part.row.stages & bit) === 0) this.#firstAtStage(part, stage, bit)
  }

  /** Begin to write what is gathered. @returns what was wrong with the batch before */
  async flush(): Promise<LateFault[]> {
    const batch = this.#batch
    for (const put of this.#draft.unsaved()) await this.#send(put)
    await this.#loadCells(batch)
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
    if (this.#draft.partsHeld > PARTS_HELD) this.#draft.forgetParts()
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
    const { duplicates, leftOut } = await this.#keepRemeasured(batch, there)
    this.#sumUp(batch, order, [...duplicates.map(({ index }) => index), ...leftOut])
    const faults = await this.#explain(batch, duplicates)
    batch.count = 0
    batch.entries.length = 0
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

  /** Cells in the store of the builds that the batch speaks of. */
  async #loadCells(batch: Batch): Promise<void> {
    const builds = new Set<number>()
    const wanted = (part: PartEntry) => {
      const build = part.row.build_id
      if (build < this.#draft.firstNewBuild && !this.#loadedBuilds.has(build)) builds.add(build)
    }
    let last: PartEntry | null = null
    for (const part of batch.entries) {
      if (part !== last) wanted(part)
      last = part
    }
    for (const part of this.#changedParts) wanted(part)
    for (const build of builds) this.#loadedBuilds.add(build)
    if (builds.size === 0) return
    for (const cell of await this.#writer.cellsOfBuilds([...builds])) {
      this.#cellsAt(cell.build_id, cell.furnace_load_id, cell.stage).set(cell.characteristic_id, cell.id)
    }
  }

  #cellsAt(build: number, load: number | null, stage: Stage): Map<number, number> {
    const key = `${build}/${load ?? 0}/${stage}`
    let cells = this.#cells.get(key)
    if (cells === undefined) {
      cells = new Map()
      this.#cells.set(key, cells)
    }
    return cells
  }

  #cell(cells: Map<number, number>, characteristic: number, part: PartEntry, stage: Stage): number {
    let id = cells.get(characteristic)
    if (id === undefined) {
      id = this.#draft.take('cell')
      cells.set(characteristic, id)
      this.#newCells.push({
        id,
        characteristic_id: characteristic,
        build_id: part.row.build_id,
        furnace_load_id: part.row.furnace_load_id,
        stage,
      })
    }
    return id
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
        for (const [characteristic, from] of this.#cellsAt(first.row.build_id, null, stage)) {
          const entry = this.#draft.characteristicById(characteristic)
          if (entry.row.part_number_id !== first.row.part_number_id) continue
          const target = this.#cellsAt(first.row.build_id, first.row.furnace_load_id, stage)
          const to = this.#cell(target, characteristic, first, stage)
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
    const cells = this.#newCells
    this.#newCells = []
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
        cells = this.#cellsAt(part.row.build_id, part.row.furnace_load_id, stage)
        part.cells[stage] = cells
      }
      const cell = this.#cell(cells, batch.characteristic[i] as number, part, stage)
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
  #sumUp(batch: Batch, order: Uint32Array, notWritten: readonly number[]): void {
    const left = new Set(notWritten)
    const { cell, value } = batch.columns
    let start = 0
    while (start < order.length) {
      const first = order[start] as number
      const id = cell[first] as number
      const { lower, upper } = this.#draft.characteristicById(batch.characteristic[first] as number).row
      // A little more than the uncertainty itself: what is near is then judged exactly.
      const guard = 1.000001 * (this.#uncertainties?.greatest(batch.characteristic[first] as number) ?? 0)
      const [least, most] = [
        (lower ?? Number.NEGATIVE_INFINITY) + guard,
        (upper ?? Number.POSITIVE_INFINITY) - guard,
      ]
      let end = start
      let n = 0
      for (; end < order.length && cell[order[end] as number] === id; end++) {
        const i = order[end] as number
        if (left.size > 0 && left.has(i)) continue
        const measured = value[i] as number
        this.#values[n++] = measured
        if ((measured < least || measured > most) && batch.stage[i] !== GREEN) {
          this.#noteConformity(batch, i, { lower, upper })
        }
        if (batch.columns.gauge[i] !== 0) this.#noteGauge(batch, i)
      }
      if (n > 0) {
        this.#sums.add(id, momentsOf(this.#values.subarray(0, n)))
      }
      start = end
    }
  }

  /** Notes a value outside its limits, or so near one that the uncertainty of its gauge leaves it open. */
  #noteConformity(batch: Batch, i: number, limits: Limits): void {
    const { lower, upper } = limits
    const value = batch.columns.value[i] as number
    const isOutside = (lower !== null && value < lower) || (upper !== null && value > upper)
    const id = batch.characteristic[i] as number
    const expanded = this.#uncertainties?.of(id, batch.columns.gauge[i] as number) ?? null
    const judged = expanded === null ? null : conformity(value, limits, expanded)
    if (isOutside) this.#outOfSpecification++
    else if (judged?.decision === 'inside the uncertainty') this.#insideUncertainty++
    else return
    const list = isOutside ? this.nonconforming : this.nearLimits
    if (list.length >= LISTED) return
    const { row, buildName } = batch.entries[i] as PartEntry
    const characteristic = this.#draft.characteristicById(id).row
    const isBelow = lower !== null && (upper === null || value - lower < upper - value)
    list.push({
      line: batch.columns.line[i] as number,
      serial: row.serial,
      build: buildName,
      characteristic: characteristic.designator,
      stage: STAGES[batch.stage[i] as number] as Stage,
      value,
      side: isBelow ? 'below' : 'above',
      limit: (isBelow ? lower : upper) as number,
      unit: characteristic.unit,
      ...(judged === null || expanded === null
        ? {}
        : { conformity: { decision: judged.decision, expanded, probability: judged.probability } }),
    })
  }

  /**
   * Of values whose part, characteristic and replicate are there already, those measured at another time are
   * remeasurements and kept as the next replicate; those of the same time, or of none, are duplicates.
   */
  async #keepRemeasured(
    batch: Batch,
    there: readonly Duplicate[],
  ): Promise<{ duplicates: readonly Duplicate[]; leftOut: readonly number[] }> {
    const candidates = there.filter(
      ({ index }) => batch.numbered[index] === 0 && !Number.isNaN(batch.columns.measuredAt[index] as number),
    )
    if (candidates.length === 0) return { duplicates: there, leftOut: [] }
    const byCell = new Map<number, Duplicate[]>()
    for (const candidate of candidates) {
      const cell = batch.columns.cell[candidate.index] as number
      const group = byCell.get(cell)
      if (group === undefined) byCell.set(cell, [candidate])
      else group.push(candidate)
    }
    const duplicates = there.filter((each) => !candidates.includes(each))
    const leftOut: number[] = []
    const again: number[] = []
    for (const [cell, group] of byCell) {
      const parts = [...new Set(group.map(({ index }) => batch.columns.part[index] as number))]
      const recorded = new Map<number, RecordedValue[]>()
      for (const value of await this.#writer.valuesInCell(cell, parts)) {
        const values = recorded.get(value.partId)
        if (values === undefined) recorded.set(value.partId, [value])
        else values.push(value)
      }
      group.sort((a, b) => (batch.columns.line[a.index] as number) - (batch.columns.line[b.index] as number))
      for (const candidate of group) {
        const { index } = candidate
        const partId = batch.columns.part[index] as number
        const measuredAt = batch.columns.measuredAt[index] as number
        const values = recorded.get(partId) ?? []
        const same = values.find((value) => value.measuredAt === null || value.measuredAt === measuredAt)
        if (same !== undefined) {
          duplicates.push({ index, firstImportId: same.importId, firstLine: same.line })
          continue
        }
        const earlier = values.find((value) => value.importId !== this.#importId)
        if (earlier !== undefined && this.#doubtRemeasured(batch, index, earlier)) {
          leftOut.push(index)
          continue
        }
        const replicate = Math.max(...values.map((value) => value.replicate)) + 1
        batch.columns.replicate[index] = replicate
        values.push({
          partId,
          replicate,
          measuredAt,
          importId: this.#importId,
          line: batch.columns.line[index] as number,
        })
        recorded.set(partId, values)
        again.push(index)
      }
    }
    again.sort((a, b) => (batch.columns.cell[a] as number) - (batch.columns.cell[b] as number) || a - b)
    this.#remeasured += again.length
    const still = await this.#writer.insertMeasurements(
      this.#importId,
      batch.columns,
      Uint32Array.from(again),
    )
    return { duplicates: [...duplicates, ...still], leftOut }
  }

  /** @returns true where the inspector leaves the part's new values out */
  #doubtRemeasured(batch: Batch, index: number, earlier: RecordedValue): boolean {
    const { row, buildName } = batch.entries[index] as PartEntry
    const stage = STAGES[batch.stage[index] as number] as Stage
    return this.#doubts.raiseShared(`${row.id}/${stage}`, {
      kind: 'measured-before',
      line: batch.columns.line[index] as number,
      column: null,
      position: null,
      value: row.serial,
      serial: row.serial,
      characteristic: null,
      text: `Part ${row.serial} of build ${buildName} was measured before (${stage}), in import ${earlier.importId}; kept, its new values are repeats beside the earlier ones.`,
      likely: null,
      waits: true,
    })
  }

  #noteGauge(batch: Batch, i: number): void {
    const { part_number_id, build_id } = (batch.entries[i] as PartEntry).row
    const key = `${part_number_id}/${batch.stage[i]}/${build_id}/${batch.columns.gauge[i]}`
    if (key === this.#lastGauge) return
    this.#lastGauge = key
    this.#gaugesSeen.add(key)
  }

  async #explain(batch: Batch, duplicates: readonly Duplicate[]): Promise<LateFault[]> {
    const faults: LateFault[] = []
    const names = new Map<number, string>()
    for (const { index, firstImportId, firstLine } of duplicates) {
      const part = batch.entries[index] as PartEntry
      const { designator } = this.#draft.characteristicById(batch.characteristic[index] as number).row
      const stage = STAGES[batch.stage[index] as number] as Stage
      let where = `on line ${firstLine}`
      if (firstImportId !== this.#importId) {
        let name = names.get(firstImportId)
        if (name === undefined) {
          name = (await this.#writer.importName(firstImportId)) ?? ''
          names.set(firstImportId, name)
        }
        where = `from import ${firstImportId}, ${name}, line ${firstLine}`
      }
      faults.push({
        line: batch.columns.line[index] as number,
        position: batch.position[index] as number,
        fault: {
          meaning: 'value',
          value: String(batch.columns.value[index]),
          reason:
            `Part ${part.row.serial} has a value of characteristic ${designator} already (${stage}, replicate ` +
            `${batch.columns.replicate[index]}), ${where}. Give each repeat a replicate number of its own to keep both.`,
        },
      })
    }
    return faults
  }
}
