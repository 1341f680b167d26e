import { windowsOf } from '../run-length/run-test.ts'
import { bitCount, whatMatters } from '../run-length/test-chain.ts'
import type { ZoneTest } from './tests.ts'

/**
 * Regions that a point's distance from the centre falls into: six of one sigma each from −3 to 3, in ascending order,
 * then below −3, above 3, and the centre line itself, which lies on neither side. A point on any other line belongs to
 * the region nearer to the centre, as a line is not beyond itself.
 */
export const REGIONS = 9
export const BELOW_THREE = 6
export const ABOVE_THREE = 7
export const ON_CENTRE = 8

/**
 * What a set of zone tests remembers of the points before, as numbered states. Unlike the chain that run lengths come
 * from it does not end with a signal.
 */
export interface TestAutomaton {
  /** `next[state + region]`: the state after a point. States are numbered in steps of REGIONS, from 0, the start. */
  readonly next: Int32Array
  /** `completed[state / REGIONS]`: bit t is set where the point that led here completed test t. */
  readonly completed: Uint8Array
  /** States from this one on have completed a test. */
  readonly firstCompleting: number
}

/**
 * The automaton of zone tests with lines at whole sigmas from 0 to 3.
 *
 * @param tests at most eight
 */
export function testAutomaton(tests: readonly ZoneTest[]): TestAutomaton {
  const windows = tests.flatMap((test, t) => windowsOf(test).map((window) => ({ ...window, t })))
  // Between these lines the regions lie; the centre line belongs to no window.
  const bounds = [
    [-3, -2],
    [-2, -1],
    [-1, 0],
    [0, 1],
    [1, 2],
    [2, 3],
    [Number.NEGATIVE_INFINITY, -3],
    [3, Number.POSITIVE_INFINITY],
  ] as const
  const known = new Map<string, number>()
  const states: { memory: readonly number[]; completed: number }[] = []
  const stateOf = (memory: readonly number[], completed: number): number => {
    const key = `${memory.join()};${completed}`
    let state = known.get(key)
    if (state === undefined) {
      state = states.length
      known.set(key, state)
      states.push({ memory, completed })
    }
    return state
  }
  stateOf(
    windows.map(() => 0),
    0,
  )
  const steps: number[][] = []
  for (let state = 0; state < states.length; state++) {
    const memory = states[state]?.memory as readonly number[]
    const row: number[] = []
    for (let region = 0; region < REGIONS; region++) {
      let completed = 0
      const after = windows.map((window, w) => {
        const [from, to] = bounds[region] ?? [0, 0]
        const hit = region !== ON_CENTRE && window.holds(from, to)
        const seen = ((memory[w] as number) << 1) | (hit ? 1 : 0)
        if (hit && bitCount(seen) >= window.needed) completed |= 1 << window.t
        return whatMatters(seen, window)
      })
      row.push(stateOf(after, completed))
    }
    steps.push(row)
  }
  return numbered(steps, states)
}

/** Puts the states that have completed a test last. */
function numbered(
  steps: readonly (readonly number[])[],
  states: readonly { completed: number }[],
): TestAutomaton {
  const order = [...states.keys()].sort(
    (a, b) => Math.sign(states[a]?.completed as number) - Math.sign(states[b]?.completed as number) || a - b,
  )
  const place = new Int32Array(states.length)
  for (const [i, state] of order.entries()) place[state] = i
  const next = Int32Array.from(
    order.flatMap((state) =>
      (steps[state] as readonly number[]).map((to) => REGIONS * (place[to] as number)),
    ),
  )
  const completed = Uint8Array.from(order, (state) => states[state]?.completed as number)
  return {
    next,
    completed,
    firstCompleting: REGIONS * states.filter((state) => state.completed === 0).length,
  }
}
