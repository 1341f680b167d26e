import type { Limits } from '../../src/capability/indices.ts'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { conformity } from '../../src/gauges/conformity.ts'
import type { Nonconforming } from '../contract/receipt.ts'
import type { Batch } from './batch.ts'
import type { Draft, PartEntry } from './draft.ts'
import type { Uncertainties } from './uncertainties.ts'

/** Values outside their limits that a receipt spells out. */
const LISTED = 1000

/** Which values of a file lie outside their limits, or so near one that the uncertainty of measuring leaves it open. */
export class ConformityNotes {
  readonly #draft: Draft
  readonly #uncertainties: Uncertainties | null
  #outOfSpecification = 0
  #insideUncertainty = 0
  readonly nonconforming: Nonconforming[] = []
  readonly nearLimits: Nonconforming[] = []

  constructor(draft: Draft, uncertainties: Uncertainties | null) {
    this.#draft = draft
    this.#uncertainties = uncertainties
  }

  get outOfSpecification(): number {
    return this.#outOfSpecification
  }

  /** Values inside their limits that the uncertainty of measuring leaves open; null where nothing is known of gauges. */
  get insideUncertainty(): number | null {
    return this.#uncertainties === null ? null : this.#insideUncertainty
  }

  /** Values of a characteristic from `least` to `most` need no looking at: they are inside its limits beyond doubt. */
  beyondDoubt(characteristicId: number): {
    readonly least: number
    readonly most: number
    readonly limits: Limits
  } {
    const { lower, upper, own_limits } = this.#draft.characteristicById(characteristicId).row
    if (own_limits !== null) {
      // Each is judged by its own.
      return { least: Number.POSITIVE_INFINITY, most: Number.NEGATIVE_INFINITY, limits: { lower, upper } }
    }
    // A little more than the uncertainty itself: what is near is then judged exactly.
    const guard = 1.000001 * (this.#uncertainties?.greatest(characteristicId) ?? 0)
    return {
      least: (lower ?? Number.NEGATIVE_INFINITY) + guard,
      most: (upper ?? Number.POSITIVE_INFINITY) - guard,
      limits: { lower, upper },
    }
  }

  /** Notes a value outside its limits, or so near one that the uncertainty of its gauge leaves it open. */
  note(batch: Batch, i: number, ofDrawing: Limits): void {
    const own = batch.own.get(i)
    const limits = own ?? ofDrawing
    const { lower, upper } = limits
    const value = own?.measured ?? (batch.columns.value[i] as number)
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
      ...(batch.position[i] === 0 ? {} : { position: batch.position[i] as number }),
      serial: row.serial,
      build: buildName,
      characteristic: characteristic.designator,
      stage: STAGES[batch.stage[i] as number] as Stage,
      value,
      side: isBelow ? 'below' : 'above',
      limit: (isBelow ? lower : upper) as number,
      unit: characteristic.unit,
      ...(own === undefined ? {} : { ofOwnTolerance: batch.columns.value[i] as number }),
      ...(judged === null || expanded === null
        ? {}
        : { conformity: { decision: judged.decision, expanded, probability: judged.probability } }),
    })
  }
}
