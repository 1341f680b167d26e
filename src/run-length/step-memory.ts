import { ArgumentError } from '../errors.ts'

/**
 * A test that `length` points in a row rise or fall steadily, each above the last or each below it, or that they go
 * up and down by turns. It looks at steps from point to point only, and needs no line.
 */
export interface StepPattern {
  readonly pattern: 'steady' | 'alternating'
  /** In points, 2 to 20. */
  readonly length: number
}

/** What step patterns remember of the points so far, apart from where the last one lies. */
export interface StepMemory {
  readonly states: number
  /** The state after a step up, −1 for a signal. State 0 is that of a single point, with no step yet. */
  readonly up: Int32Array
  readonly down: Int32Array
}

const SIGNAL = -1

/**
 * The memory of a set of step patterns: the direction of the last step, and of how many points the steady run and
 * the alternating run that end here consist, as far as a test asks.
 *
 * @throws ArgumentError where a length is not a whole number from 2 to 20
 */
export function stepMemory(patterns: readonly StepPattern[]): StepMemory {
  for (const { length } of patterns) {
    if (!(Number.isInteger(length) && length >= 2 && length <= 20)) {
      throw new ArgumentError('tests', `a pattern of ${length} points; 2 to 20 can be computed`)
    }
  }
  // The shortest of several signals first.
  const shortest = (wanted: StepPattern['pattern']) =>
    Math.min(...patterns.filter(({ pattern }) => pattern === wanted).map(({ length }) => length))
  const steadyLength = shortest('steady')
  const alternatingLength = shortest('alternating')

  const known = new Map<string, number>([['start', 0]])
  const up: number[] = []
  const down: number[] = []
  const waiting: { direction: 1 | -1 | 0; steady: number; alternating: number }[] = [
    { direction: 0, steady: 1, alternating: 1 },
  ]
  for (const { direction, steady, alternating } of waiting) {
    const after = (step: 1 | -1): number => {
      const next = {
        direction: step,
        steady: step === -direction ? 2 : steady + 1,
        alternating: step === direction ? 2 : alternating + 1,
      }
      if (next.steady >= steadyLength || next.alternating >= alternatingLength) return SIGNAL
      // What no test asks about is not remembered.
      if (steadyLength === Number.POSITIVE_INFINITY) next.steady = 2
      if (alternatingLength === Number.POSITIVE_INFINITY) next.alternating = 2
      const key = `${step},${next.steady},${next.alternating}`
      let state = known.get(key)
      if (state === undefined) {
        state = known.size
        known.set(key, state)
        waiting.push(next)
      }
      return state
    }
    up.push(after(1))
    down.push(after(-1))
  }
  return { states: waiting.length, up: Int32Array.from(up), down: Int32Array.from(down) }
}
