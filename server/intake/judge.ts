import { mergedSpreads } from '../../src/checks/expectation.ts'
import { ValueWatch, type WatchedValue } from '../../src/checks/value-watch.ts'
import { STAGES } from '../../src/domain/cell.ts'
import { betaLowerTail } from '../../src/numbers/incomplete-beta.ts'
import type { CharacteristicTable } from '../store/schema.ts'
import type { CellSpread } from '../store/spreads.ts'
import type { Doubts } from './doubts.ts'
import type { Draft } from './draft.ts'
import { shortened } from './faults.ts'

/** Values on record before "more missing than usual" means anything. */
const USUAL_FROM = 20
/** Least share missing that is taken for usual, and the chance at which more is doubted. */
const USUALLY_MISSING = 0.02
const UNLIKELY = 1e-4

/** One value with its place in the file. */
export interface JudgedValue extends WatchedValue {
  readonly line: number
  readonly column: string | null
  readonly position: number
}

/**
 * Compares every value with what is to be expected of its characteristic, and raises a doubt where a slip explains it.
 */
export class ValueJudge {
  readonly #doubts: Doubts
  readonly #watch = new ValueWatch<JudgedValue>()

  constructor(doubts: Doubts) {
    this.#doubts = doubts
  }

  /** Take note of what is on record of a part number, before its first value. */
  learn(cells: readonly CellSpread[]): void {
    for (const { characteristicId, stage, ...moments } of mergedSpreads(cells)) {
      this.#watch.learn(characteristicId, stage, moments)
    }
  }

  /** Whether the value lies where values are to be expected. Quick, since it is asked of every one. */
  expects(characteristic: CharacteristicTable, stage: number, replicate: number, value: number): boolean {
    return this.#watch.expects(characteristic, stage, replicate, value)
  }

  /** Look at a value that was not expected. @returns true where it is to be left out */
  judge(value: JudgedValue): boolean {
    const finding = this.#watch.explain(value)
    if (finding === null) return false
    const { kind, text, likely } = finding
    if (finding.kind === 'exchanged') {
      const { other } = finding
      this.#doubts.raise({ ...placeOf(other), kind, text, likely: value.decimal, waits: true })
    }
    return this.#doubts.raise({ ...placeOf(value), kind, text, likely, waits: true })
  }

  /** Leave out a value that the inspector named. */
  leaveOut(value: JudgedValue): boolean {
    return this.#doubts.raise(
      {
        ...placeOf(value),
        kind: 'exchanged',
        text: `The value of characteristic ${value.characteristic.designator} of part ${value.serial} may have changed places with another of the part.`,
        likely: null,
        waits: true,
      },
      'left-out',
    )
  }

  /** Parts that lack a characteristic more often than on record. To be asked once the file is read. */
  judgeMissing(draft: Draft, partNumbers: ReadonlySet<number>): void {
    for (const id of partNumbers) {
      for (const stage of STAGES.keys()) this.#judgeMissing(draft, id, stage)
    }
  }

  #judgeMissing(draft: Draft, partNumberId: number, stage: number): void {
    const entries = [...draft.partNumberById(partNumberId).byDesignator.values()]
    const measured = entries.flatMap(({ row }) => {
      const count = this.#watch.seen(row.id, stage)
      const recorded = this.#watch.recorded(row.id, stage)
      return count > 0 ? [{ row, count, recorded }] : []
    })
    const parts = Math.max(0, ...measured.map(({ count }) => count))
    const recordedParts = Math.max(0, ...measured.map(({ recorded }) => recorded))
    if (recordedParts < USUAL_FROM) return
    for (const { row, count, recorded } of measured) {
      const missing = parts - count
      const usual = Math.max(USUALLY_MISSING, 1 - recorded / recordedParts)
      if (missing === 0 || missing / parts <= usual || usual >= 1) continue
      if (atLeast(missing, parts, usual) > UNLIKELY) continue
      this.#doubts.raise({
        kind: 'missing',
        line: null,
        column: null,
        position: null,
        value: '',
        serial: null,
        characteristic: row.designator,
        text: `Characteristic ${row.designator} is missing of ${missing} of ${parts} parts (${STAGES[stage]}), on record of ${Math.round(usual * 100)} % at most.`,
        likely: null,
        waits: true,
      })
    }
  }
}

function placeOf({ line, column, position, written, serial, characteristic }: JudgedValue) {
  return {
    line,
    column,
    position,
    value: shortened(written),
    serial,
    characteristic: characteristic.designator,
  }
}

/** Probability of k or more among n, each with probability p: the lower tail I_p(k, n − k + 1) of a beta distribution. */
function atLeast(k: number, n: number, p: number): number {
  const [a, b] = [k, n - k + 1]
  return betaLowerTail(a, b, (p * b) / (a * (1 - p)))
}
