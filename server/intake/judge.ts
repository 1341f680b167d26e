import type { Moments } from '../../src/description/moments.ts'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { betaLowerTail } from '../../src/numbers/incomplete-beta.ts'
import type { CharacteristicTable } from '../store/schema.ts'
import type { CellSpread } from '../store/spreads.ts'
import type { Doubts } from './doubts.ts'
import type { Draft } from './draft.ts'
import {
  type Expectation,
  expectationFromFile,
  expectationOf,
  fitsFile,
  mergedSpreads,
} from './expectation.ts'
import { shortened } from './faults.ts'
import { slipOf } from './slips.ts'

/** Values of the file that are held to compare the next with. */
const HELD = 15
/** Values on record before "more missing than usual" means anything. */
const USUAL_FROM = 20
/** Least share missing that is taken for usual, and the chance at which more is doubted. */
const USUALLY_MISSING = 0.02
const UNLIKELY = 1e-4

/** One value as the judge sees it. */
export interface JudgedValue {
  readonly serial: string
  readonly characteristic: CharacteristicTable
  /** Index into `STAGES`. */
  readonly stage: number
  readonly replicate: number
  /** In the unit of the characteristic, as number and as decimal text. */
  readonly value: number
  readonly decimal: string
  /** As the file has it. */
  readonly written: string
  readonly line: number
  readonly column: string | null
  readonly position: number
}

interface State {
  expected: Expectation | null
  /** The last values, in no particular order. */
  readonly held: number[]
  next: number
  count: number
}

/** Compares every value with what is to be expected of its characteristic, and raises a doubt where a slip explains it. */
export class ValueJudge {
  readonly #doubts: Doubts
  readonly #recorded = new Map<string, Moments>()
  readonly #states: (State | undefined)[] = []
  /** Values far from anything expected that no slip of their own explains, by part. */
  readonly #strange = new Map<string, JudgedValue[]>()

  constructor(doubts: Doubts) {
    this.#doubts = doubts
  }

  /** Take note of what is on record of a part number, before its first value. */
  learn(cells: readonly CellSpread[]): void {
    for (const [key, moments] of mergedSpreads(cells)) this.#recorded.set(key, moments)
  }

  /** Whether the value lies where values are to be expected. Quick, since it is asked of every one. */
  expects(characteristic: CharacteristicTable, stage: number, replicate: number, value: number): boolean {
    const state = this.#state(characteristic, stage)
    if (replicate === 1) state.count++
    const { expected } = state
    this.#hold(state, value)
    return expected === null || (value >= expected.low && value <= expected.high)
  }

  /** Look at a value that was not expected. @returns true where it is to be left out */
  judge(value: JudgedValue): boolean {
    const { characteristic, stage } = value
    const state = this.#state(characteristic, stage)
    const expected = state.expected as Expectation
    const slip = slipOf(value.decimal, characteristic.unit, expected)
    if (slip !== null && (slip.gross || !fitsFile(value.value, state.held))) {
      return this.#doubts.raise({
        ...placeOf(value),
        kind: slip.kind,
        text: `${shortened(value.written)} is far from what is known of characteristic ${characteristic.designator}; ${slip.words} it would be ${slip.likely}.`,
        likely: slip.likely,
        waits: true,
      })
    }
    return fitsFile(value.value, state.held) ? false : this.#exchanged(value, expected)
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
      const count = this.#states[row.id * STAGES.length + stage]?.count ?? 0
      const recorded = this.#recorded.get(`${row.id}/${STAGES[stage] as Stage}`)?.n ?? 0
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

  /** Two values of one part, each where the other is to be expected. */
  #exchanged(value: JudgedValue, expected: Expectation): boolean {
    const key = `${value.characteristic.part_number_id}/${value.stage}/${value.replicate}/${value.serial}`
    const strange = this.#strange.get(key) ?? []
    const other = strange.find((candidate) => {
      const expectedOfOther = this.#state(candidate.characteristic, candidate.stage).expected
      return (
        expectedOfOther !== null &&
        isLikely(candidate.value, expected) &&
        isLikely(value.value, expectedOfOther)
      )
    })
    if (other === undefined) {
      strange.push(value)
      this.#strange.set(key, strange)
      return false
    }
    const [a, b] = [other.characteristic.designator, value.characteristic.designator]
    const text = `The values of characteristics ${a} and ${b} of part ${value.serial} fit when they change places.`
    this.#doubts.raise({ ...placeOf(other), kind: 'exchanged', text, likely: value.decimal, waits: true })
    return this.#doubts.raise({
      ...placeOf(value),
      kind: 'exchanged',
      text,
      likely: other.decimal,
      waits: true,
    })
  }

  #state(characteristic: CharacteristicTable, stage: number): State {
    const index = characteristic.id * STAGES.length + stage
    let state = this.#states[index]
    if (state === undefined) {
      const name = STAGES[stage] as Stage
      const recorded = this.#recorded.get(`${characteristic.id}/${name}`) ?? null
      state = { expected: expectationOf(characteristic, name, recorded), held: [], next: 0, count: 0 }
      this.#states[index] = state
    }
    return state
  }

  #hold(state: State, value: number): void {
    const { held } = state
    if (held.length < HELD) {
      held.push(value)
      if (held.length === HELD && state.expected === null) state.expected = expectationFromFile(held)
      return
    }
    held[state.next] = value
    state.next = (state.next + 1) % HELD
  }
}

function isLikely(value: number, { likelyLow, likelyHigh }: Expectation): boolean {
  return value >= likelyLow && value <= likelyHigh
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
