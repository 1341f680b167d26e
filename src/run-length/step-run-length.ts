import { ConvergenceError } from '../errors.ts'
import { DensityFlow } from './density-flow.ts'
import type { StepMemory } from './step-memory.ts'
import type { TestChain } from './test-chain.ts'

/** So many points are followed at most. Survival settles within a few hundred. */
const MOST_POINTS = 20_000

/**
 * Average number of independent points until a test chain or a step memory signals, the signalling point counted.
 *
 * What is followed from point to point is a density over the last value, one for every state of the memory, state of
 * the chain and region of the last value. With the values of a region measured by their probability it is a
 * polynomial in each region, as a point adds the integral of the density below it (a step up) or above it (a step
 * down). Values at Gauss–Legendre nodes and the matrix that integrates their interpolating polynomial up to each node
 * therefore hold it to nearly full precision. Probabilities of a signal are summed up as such, and are no small
 * difference from 1. Once the density keeps its shape, survival falls by a constant ratio and is continued by it.
 *
 * Own derivation, an extension of the chain of Champ and Woodall (see `testChain`).
 *
 * @param probabilities of a point to fall into each of the chain's regions
 * @param nodes in each region
 * @throws ConvergenceError where the density does not settle
 */
export function stepRunLength(
  chain: TestChain,
  probabilities: readonly number[],
  memory: StepMemory,
  nodes: number,
): number {
  const flow = new DensityFlow(chain, probabilities, memory, nodes)
  let hazard = flow.begin()
  let survival = 1
  let expected = 1
  for (let points = 1; points <= MOST_POINTS; points++) {
    survival *= flow.alive
    if (survival === 0) return expected
    const before = hazard
    hazard = flow.advance()
    const settled = flow.change <= SETTLED && Math.abs(hazard - before) <= SETTLED * hazard
    if (settled && hazard > 0) return expected + survival / hazard
    expected += survival
  }
  throw new ConvergenceError(
    `average run length: after ${MOST_POINTS} points it has not settled, at ${expected}`,
  )
}

const SETTLED = 1e-12
