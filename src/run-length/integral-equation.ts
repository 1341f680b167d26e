import { ConvergenceError } from '../errors.ts'
import { type GaussRule, gaussLegendre } from '../numbers/gauss-legendre.ts'
import { absorbingChain } from './absorbing-chain.ts'

/** How a control statistic on an interval moves with the next point. */
export interface RunLengthEquation {
  readonly from: number
  readonly to: number
  /** Where the statistic begins, and where `restart` takes it back to. */
  readonly start: number
  /** Density of the next value at y inside the interval when the statistic is at u now. */
  readonly density: (y: number, u: number) => number
  /** Probability of going back to `start` from u; 0 where the statistic has no such place. */
  readonly restart: (u: number) => number
  /** Probability of a signal from u. */
  readonly exit: (u: number) => number
}

/**
 * Average run length L(start) of the Fredholm equation L(u) = 1 + restart(u) L(start) + ∫ L(y) density(y | u) dy, by
 * the Nyström method with Gauss–Legendre nodes, doubled until the result holds still to a billionth.
 *
 * The discretised equation is that of a Markov chain and is solved as one, with the exit probabilities given and
 * not left as the remainder to 1, so that run lengths of any size come out right.
 *
 * @throws ConvergenceError where 512 nodes do not suffice
 */
export function solveRunLength(equation: RunLengthEquation): number {
  let last = Number.NaN
  for (let n = 16; n <= 512; n *= 2) {
    const result = solveWith(equation, gaussLegendre(n))
    if (Math.abs(result - last) <= 1e-9 * result) return result
    last = result
  }
  throw new ConvergenceError(`average run length: with 512 nodes it has not settled, at ${last}`)
}

function solveWith({ from, to, start, density, restart, exit }: RunLengthEquation, rule: GaussRule): number {
  const half = (to - from) / 2
  const middle = (to + from) / 2
  const places = [start, ...rule.nodes.map((node) => middle + half * node)]
  const n = places.length
  const transitions = new Float64Array(n * n)
  for (const [i, u] of places.entries()) {
    transitions[i * n] = restart(u)
    for (let j = 1; j < n; j++) {
      transitions[i * n + j] = half * (rule.weights[j - 1] as number) * density(places[j] as number, u)
    }
  }
  const chain = absorbingChain(transitions, Float64Array.from(places, exit))
  return chain.expectedTotals(new Float64Array(n).fill(1))[0] as number
}
