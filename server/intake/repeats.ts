import { STAGES, type Stage } from '../../src/domain/cell.ts'
import type { Duplicate } from '../store/engine.ts'
import type { RecordedValue } from '../store/spreads.ts'
import type { Writer } from '../store/writer.ts'
import type { Batch } from './batch.ts'
import type { Doubts } from './doubts.ts'
import type { Draft, PartEntry } from './draft.ts'
import type { LateFault } from './row-checker.ts'

/** What becomes of values whose part, characteristic and replicate are there already. */
export class Repeats {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #importId: number
  readonly #doubts: Doubts
  #remeasured = 0

  constructor(writer: Writer, draft: Draft, importId: number, doubts: Doubts) {
    this.#writer = writer
    this.#draft = draft
    this.#importId = importId
    this.#doubts = doubts
  }

  /** Values kept as repeats of earlier ones, since they were measured at another time. */
  get remeasured(): number {
    return this.#remeasured
  }

  /**
   * Of values whose part, characteristic and replicate are there already, those measured at another time are
   * remeasurements and kept as the next replicate; those of the same time, or of none, are duplicates. Where an earlier
   * file gave no time, nobody but the inspector can tell which of the two it is.
   */
  async keepRemeasured(
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
    const isCandidate = new Set(candidates)
    const duplicates = there.filter((each) => !isCandidate.has(each))
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
        const same = values.find(
          (value) =>
            value.measuredAt === measuredAt ||
            (value.measuredAt === null && value.importId === this.#importId),
        )
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
      text: `Part ${row.serial} of build ${buildName} was measured before (${stage}), in import ${earlier.importId}${earlier.measuredAt === null ? ', which does not say when: it may be the same measurement' : ''}; kept, its new values are repeats beside the earlier ones.`,
      likely: null,
      waits: true,
    })
  }

  /** Why duplicates cannot be taken. */
  async explain(batch: Batch, duplicates: readonly Duplicate[]): Promise<LateFault[]> {
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
            `${batch.columns.replicate[index]}), ${where}. The same measurement need not come twice; give a repeat a replicate number of its own, to keep both.`,
        },
      })
    }
    return faults
  }
}
