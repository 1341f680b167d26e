import type { Moments } from '../description/moments.ts'
import { STAGES, type Stage } from '../domain/cell.ts'
import type { WrittenUnit } from '../domain/characteristic.ts'
import {
  type Expectation,
  expectationFromValues,
  expectationOf,
  fitsValues,
  type Required,
} from './expectation.ts'
import { slipOf } from './slips.ts'

/** Values of the same file, or of the same sheet, that are held to compare the next with. */
const HELD = 15

/** A characteristic as the watch knows it. */
export interface Watched extends Required {
  readonly id: number
  readonly designator: string
  /** That values are written in. */
  readonly unit: WrittenUnit
}

/** One value as the watch sees it. */
export interface WatchedValue {
  /** The part, as no other is called. */
  readonly part: string
  readonly serial: string
  readonly characteristic: Watched
  /** Index into `STAGES`. */
  readonly stage: number
  readonly replicate: number
  /**
   * As it is judged: in the unit of the characteristic or, where each part has limits of its own, in those of its
   * tolerance.
   */
  readonly value: number
  /** In the unit of the characteristic, as decimal text. */
  readonly decimal: string
  /** What a value in the unit of the characteristic is as it is judged, where the part has limits of its own. */
  readonly judged?: (value: number) => number
  /** As it was written. */
  readonly written: string
}

/** A value that a slip would explain. */
export interface WatchedSlip {
  readonly kind: 'unit' | 'decimal-point' | 'digits' | 'sign'
  readonly text: string
  /** Decimal text, in the unit of the characteristic. */
  readonly likely: string
}

/** Two values of one part, each where the other is to be expected. */
export interface WatchedExchange<V> {
  readonly kind: 'exchanged'
  readonly text: string
  /** Decimal text of the other value. */
  readonly likely: string
  readonly other: V
}

interface State {
  expected: Expectation | null
  /** The last values, in no particular order. */
  readonly held: number[]
  next: number
  count: number
}

/**
 * Compares every value with what is to be expected of its characteristic: from the record, else the drawing, else the
 * values before it. The same for files that are brought and for values that are typed.
 */
export class ValueWatch<V extends WatchedValue> {
  readonly #recorded = new Map<string, Moments>()
  readonly #states: (State | undefined)[] = []
  /** Values far from anything expected that no slip of their own explains, by part. */
  readonly #strange = new Map<string, V[]>()

  /** Take note of the values on record of a characteristic at a stage, before its first value. */
  learn(characteristicId: number, stage: Stage, recorded: Moments): void {
    this.#recorded.set(`${characteristicId}/${stage}`, recorded)
  }

  /** Number of values on record of a characteristic. @param stage index into `STAGES` */
  recorded(characteristicId: number, stage: number): number {
    return this.#recorded.get(`${characteristicId}/${STAGES[stage] as Stage}`)?.n ?? 0
  }

  /** Number of first measurements seen of a characteristic. @param stage index into `STAGES` */
  seen(characteristicId: number, stage: number): number {
    return this.#states[characteristicId * STAGES.length + stage]?.count ?? 0
  }

  /** Whether the value lies where values are to be expected. Quick, since it is asked of every one. */
  expects(characteristic: Watched, stage: number, replicate: number, value: number): boolean {
    const state = this.#state(characteristic, stage)
    if (replicate === 1) state.count++
    const { expected } = state
    hold(state, value)
    return expected === null || (value >= expected.low && value <= expected.high)
  }

  /** Look at a value that was not expected. @returns what would explain it; null where nothing does */
  explain(value: V): WatchedSlip | WatchedExchange<V> | null {
    const { characteristic, stage } = value
    const state = this.#state(characteristic, stage)
    const expected = state.expected as Expectation
    const slip = slipOf(value.decimal, characteristic.unit, expected, value.judged)
    const fits = fitsValues(value.value, state.held)
    if (slip !== null && (slip.gross || !fits)) {
      return {
        kind: slip.kind,
        text: `${shortened(value.written)} is far from what is known of characteristic ${characteristic.designator}; ${slip.words} it would be ${slip.likely}.`,
        likely: slip.likely,
      }
    }
    return fits ? null : this.#exchanged(value, expected)
  }

  #exchanged(value: V, expected: Expectation): WatchedExchange<V> | null {
    const key = `${value.stage}/${value.replicate}/${value.part}`
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
      return null
    }
    const [a, b] = [other.characteristic.designator, value.characteristic.designator]
    return {
      kind: 'exchanged',
      text: `The values of characteristics ${a} and ${b} of part ${value.serial} fit when they change places.`,
      likely: other.decimal,
      other,
    }
  }

  #state(characteristic: Watched, stage: number): State {
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
}

function hold(state: State, value: number): void {
  const { held } = state
  if (held.length < HELD) {
    held.push(value)
    if (held.length === HELD && state.expected === null) state.expected = expectationFromValues(held)
    return
  }
  held[state.next] = value
  state.next = (state.next + 1) % HELD
}

function isLikely(value: number, { likelyLow, likelyHigh }: Expectation): boolean {
  return value >= likelyLow && value <= likelyHigh
}

/** The text as a sentence can hold it. */
function shortened(text: string): string {
  return text.length > 200 ? `${text.slice(0, 199)}…` : text
}
