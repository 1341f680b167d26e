import { ArgumentError } from '../errors.ts'
import { linesOf, type RunPattern, type RunTest, type Window, windowsOf } from './run-test.ts'

/**
 * The states that a set of run tests can be in between points, and where each point leads. A point falls into one
 * of `lines.length − 1` regions: region r is the interval between `lines[r]` and `lines[r + 1]`, in standard
 * errors from the centre, from minus to plus infinity.
 */
export interface TestChain {
  readonly lines: readonly number[]
  readonly states: number
  /** `next[state * regions + region]`: the state that follows, or −1 for a signal. State 0 is the start. */
  readonly next: Int32Array
}

const SIGNAL = -1

/** Beyond this many states the elimination would take seconds and more. */
const MOST_STATES = 2000

/**
 * Markov chain of a set of run tests.
 *
 * A state remembers for every test and side which of the last `of − 1` points lay beyond the line; points that can
 * no longer take part in a signal are forgotten at once. States are found by walking from the start, and states
 * with the same future are merged (E. F. Moore's partition refinement).
 *
 * Source: C. W. Champ and W. H. Woodall, Exact results for Shewhart control charts with supplementary runs rules,
 * Technometrics 29 (1987), 393–399.
 *
 * @throws ArgumentError where a test is malformed or the tests together need more than 2000 states
 */
export function testChain(tests: readonly (RunTest | RunPattern)[]): TestChain {
  const windows = tests.flatMap(windowsOf)
  const inner = [...new Set(tests.flatMap(linesOf))].sort((a, b) => a - b)
  const lines = [Number.NEGATIVE_INFINITY, ...inner, Number.POSITIVE_INFINITY]
  const regions = lines.length - 1
  const inZone = windows.map(({ holds }) =>
    lines.slice(1).map((to, region) => holds(lines[region] as number, to)),
  )

  const known = new Map<string, number>()
  const memories: number[][] = []
  const stateOf = (memory: number[]): number => {
    const key = memory.join()
    const found = known.get(key)
    if (found !== undefined) return found
    if (memories.length >= MOST_STATES) {
      throw new ArgumentError(
        'tests',
        `more than ${MOST_STATES} states: fewer tests or shorter windows are needed`,
      )
    }
    known.set(key, memories.length)
    memories.push(memory)
    return memories.length - 1
  }

  const next: number[] = []
  stateOf(windows.map(() => 0))
  for (let state = 0; state < memories.length; state++) {
    const memory = memories[state] as number[]
    for (let region = 0; region < regions; region++) {
      let signals = false
      const after = windows.map((window, w) => {
        const seen = ((memory[w] as number) << 1) | (inZone[w]?.[region] ? 1 : 0)
        signals ||= bitCount(seen) >= window.needed
        return whatMatters(seen, window)
      })
      next.push(signals ? SIGNAL : stateOf(after))
    }
  }
  return mergeStates(lines, memories.length, next)
}

export function bitCount(bits: number): number {
  let count = 0
  for (let rest = bits; rest !== 0; rest &= rest - 1) count++
  return count
}

/**
 * The last `of` hits (bit a: the point a places back) without those that no signal to come can use. After t more
 * points, all of them hits, the window still sees the bits below `of − t`.
 */
export function whatMatters(seen: number, { needed, of }: Window): number {
  for (let t = 1; t < of; t++) {
    const inWindow = seen & ((1 << (of - t)) - 1)
    if (bitCount(inWindow) + t >= needed) return inWindow
  }
  return 0
}

function mergeStates(lines: readonly number[], states: number, next: readonly number[]): TestChain {
  const regions = lines.length - 1
  let blockOf = new Int32Array(states)
  let blocks = 1
  for (;;) {
    const refined = new Int32Array(states)
    const seen = new Map<string, number>()
    for (let state = 0; state < states; state++) {
      let key = `${blockOf[state]}`
      for (let region = 0; region < regions; region++) {
        const to = next[state * regions + region] as number
        key += `,${to === SIGNAL ? SIGNAL : blockOf[to]}`
      }
      let block = seen.get(key)
      if (block === undefined) {
        block = seen.size
        seen.set(key, block)
      }
      refined[state] = block
    }
    blockOf = refined
    if (seen.size === blocks) break
    blocks = seen.size
  }
  const merged = new Int32Array(blocks * regions)
  for (let state = 0; state < states; state++) {
    for (let region = 0; region < regions; region++) {
      const to = next[state * regions + region] as number
      const row = blockOf[state] as number
      merged[row * regions + region] = to === SIGNAL ? SIGNAL : (blockOf[to] as number)
    }
  }
  return { lines, states: blocks, next: merged }
}
