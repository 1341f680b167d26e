import { type CumulativeRule, cumulativeRule } from './cumulative-rule.ts'
import type { StepMemory } from './step-memory.ts'
import type { TestChain } from './test-chain.ts'

const SIGNAL = -1
const NOWHERE = -1

/**
 * The density over the last value, given that no signal has come, as points are added. It is kept as values at the
 * nodes of every place, a place being a state of the chain and the region of the last value, once for every state
 * of the memory. Within a region values are measured by their probability, from 0 to 1.
 */
export class DensityFlow {
  readonly #chain: TestChain
  readonly #probabilities: readonly number[]
  readonly #memory: StepMemory
  readonly #nodes: number
  readonly #rule: CumulativeRule
  /** By state × region: offset of the place's nodes, −1 where none leads there. */
  readonly #offsets: Int32Array
  /** Values of one state of the memory. */
  readonly #block: number
  #density: Float64Array
  #moved: Float64Array
  #alive = 1
  #change = Number.POSITIVE_INFINITY

  constructor(chain: TestChain, probabilities: readonly number[], memory: StepMemory, nodes: number) {
    this.#chain = chain
    this.#probabilities = probabilities
    this.#memory = memory
    this.#nodes = nodes
    this.#rule = cumulativeRule(nodes)
    const { offsets, size } = reachablePlaces(chain, probabilities, nodes)
    this.#offsets = offsets
    this.#block = size
    this.#density = new Float64Array(memory.states * size)
    this.#moved = new Float64Array(memory.states * size)
  }

  /** Probability that the point added last brought no signal. */
  get alive(): number {
    return this.#alive
  }

  /** Sum of the absolute differences in probability that the point added last made. */
  get change(): number {
    return this.#change
  }

  /** Adds the first point. @returns the probability that it signals */
  begin(): number {
    let hazard = 0
    for (const [region, p] of this.#probabilities.entries()) {
      const to = this.#chain.next[region] as number
      if (to === SIGNAL) hazard += p
      else if (p > 0) {
        const offset = this.#offset(to, region)
        this.#moved.fill(p, offset, offset + this.#nodes)
      }
    }
    this.#settle()
    return hazard
  }

  /** Adds a point. @returns the probability that it signals, where none has before */
  advance(): number {
    this.#moved.fill(0)
    let hazard = 0
    for (let m = 0; m < this.#memory.states; m++) hazard += this.#advanceFrom(m)
    this.#settle()
    return hazard
  }

  #offset(state: number, region: number): number {
    return this.#offsets[state * this.#probabilities.length + region] as number
  }

  /** Spreads what is in one state of the memory over the places that the next point leads to. */
  #advanceFrom(m: number): number {
    const nodes = this.#nodes
    const { next, states } = this.#chain
    const { weights } = this.#rule
    const probabilities = this.#probabilities
    const offsets = this.#offsets
    const density = this.#density
    const regions = probabilities.length
    const base = m * this.#block
    const up = this.#memory.up[m] as number
    const down = this.#memory.down[m] as number
    const masses = new Float64Array(regions)
    /** Probability below each node of the region that the next point falls into, and above it. */
    const below = new Float64Array(nodes)
    const above = new Float64Array(nodes)
    let hazard = 0
    for (let state = 0; state < states; state++) {
      let all = 0
      for (let region = 0; region < regions; region++) {
        const offset = offsets[state * regions + region] as number
        const mass = offset === NOWHERE ? 0 : integral(weights, density, base + offset)
        masses[region] = mass
        all += mass
      }
      if (all === 0) continue
      let passed = 0
      for (let region = 0; region < regions; region++) {
        const here = masses[region] as number
        const lower = passed
        passed += here
        const p = probabilities[region] as number
        if (p === 0) continue
        const to = next[state * regions + region] as number
        if (to === SIGNAL) {
          hazard += p * all
          continue
        }
        below.fill(p * lower)
        above.fill(p * (all - passed))
        if (here !== 0) this.#split(base + (offsets[state * regions + region] as number), p, below, above)
        const into = offsets[to * regions + region] as number
        hazard += this.#put(up, into, below) + this.#put(down, into, above)
      }
    }
    return hazard
  }

  /** Adds p times the integral of the density at `from` up to each node to `below`, and from each node on to `above`. */
  #split(from: number, p: number, below: Float64Array, above: Float64Array): void {
    const nodes = this.#nodes
    const density = this.#density
    const { below: upTo, after } = this.#rule
    for (let i = 0; i < nodes; i++) {
      let low = 0
      let high = 0
      for (let j = 0; j < nodes; j++) {
        const value = density[from + j] as number
        low += (upTo[i * nodes + j] as number) * value
        high += (after[i * nodes + j] as number) * value
      }
      below[i] = (below[i] as number) + p * low
      above[i] = (above[i] as number) + p * high
    }
  }

  /** Adds values to a place in the memory's state `to`. @returns their integral where that is a signal */
  #put(to: number, into: number, values: Float64Array): number {
    if (to === SIGNAL) return integral(this.#rule.weights, values, 0)
    const target = to * this.#block + into
    const moved = this.#moved
    for (let i = 0; i < values.length; i++)
      moved[target + i] = (moved[target + i] as number) + (values[i] as number)
    return 0
  }

  /** Makes what was moved the density, as one given no signal. */
  #settle(): void {
    const nodes = this.#nodes
    const { weights } = this.#rule
    const moved = this.#moved
    let alive = 0
    for (let k = 0; k < moved.length; k += nodes) alive += integral(weights, moved, k)
    this.#alive = alive
    let change = 0
    for (let k = 0; alive > 0 && k < moved.length; k++) {
      const value = (moved[k] as number) / alive
      change += (weights[k % nodes] as number) * Math.abs(value - (this.#density[k] as number))
      moved[k] = value
    }
    this.#change = change
    this.#moved = this.#density
    this.#density = moved
  }
}

function integral(weights: Float64Array, values: Float64Array, from: number): number {
  let sum = 0
  for (let i = 0; i < weights.length; i++) sum += (weights[i] as number) * (values[from + i] as number)
  return sum
}

/** Numbers the pairs of a state and the region that its last point fell into. */
function reachablePlaces(
  chain: TestChain,
  probabilities: readonly number[],
  nodes: number,
): { offsets: Int32Array; size: number } {
  const regions = probabilities.length
  const offsets = new Int32Array(chain.states * regions).fill(NOWHERE)
  let size = 0
  for (let state = 0; state < chain.states; state++) {
    for (let region = 0; region < regions; region++) {
      const to = chain.next[state * regions + region] as number
      if (to === SIGNAL || probabilities[region] === 0) continue
      const pair = to * regions + region
      if (offsets[pair] !== NOWHERE) continue
      offsets[pair] = size
      size += nodes
    }
  }
  return { offsets, size }
}
