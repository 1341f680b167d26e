import { ArgumentError } from '../errors.ts'
import { absorbingChain } from './absorbing-chain.ts'
import { regionProbabilities } from './region-probabilities.ts'
import type { RunPattern, RunTest } from './run-test.ts'
import { type TestChain, testChain } from './test-chain.ts'

/** Mean and standard deviation of the number of points until the first signal. */
export interface RunLength {
  readonly mean: number
  readonly sd: number
}

/**
 * Average number of independent normal points until any of the tests signals, on either side, the signalling
 * point counted. At shift 0 this is the average distance between false alarms.
 *
 * Source: Champ and Woodall (1987), see `testChain`; solved by `absorbingChain`.
 *
 * @param tests any set of m-of-k tests and of runs near or away from the centre; with none the run length is infinite
 * @param shift how far the true mean lies from the centre line, in standard errors of the plotted point
 * @throws ArgumentError where a test is malformed, the set is too large for `testChain`, or the shift not finite
 */
export function runLengthOfTests(tests: readonly (RunTest | RunPattern)[], shift: number): number {
  return runLengthDistribution(tests, shift).mean
}

const remembered = new Map<string, RunLength>()

/**
 * Mean and standard deviation of the run length of a set of tests; arguments as for `runLengthOfTests`. Both
 * are infinite where no test can signal. The latest 500 results are kept.
 *
 * @throws ArgumentError as `runLengthOfTests`
 */
export function runLengthDistribution(tests: readonly (RunTest | RunPattern)[], shift: number): RunLength {
  const key = `${shift};${tests.map(keyOf).join(';')}`
  const found = remembered.get(key)
  if (found !== undefined) return found
  const { chain, probabilities } = chainUnder(tests, shift)
  const n = chain.states
  const regions = probabilities.length
  const transitions = new Float64Array(n * n)
  const absorption = new Float64Array(n)
  for (let state = 0; state < n; state++) {
    for (let region = 0; region < regions; region++) {
      const p = probabilities[region] as number
      const to = chain.next[state * regions + region] as number
      if (to < 0) absorption[state] = (absorption[state] as number) + p
      else transitions[state * n + to] = (transitions[state * n + to] as number) + p
    }
  }
  const solver = absorbingChain(transitions, absorption)
  const means = solver.expectedTotals(new Float64Array(n).fill(1))
  const mean = means[0] as number
  // E[N²] is the expected total of 2 E[N from here] − 1 over the states passed.
  const square = solver.expectedTotals(means.map((m) => 2 * m - 1))[0] as number
  const sd = mean === Number.POSITIVE_INFINITY ? mean : Math.sqrt(Math.max(0, square - mean * mean))
  const result = { mean, sd }
  if (remembered.size >= 500) remembered.delete(remembered.keys().next().value as string)
  remembered.set(key, result)
  return result
}

function keyOf(test: RunTest | RunPattern): string {
  return 'pattern' in test
    ? `${test.pattern},${test.length},${test.line}`
    : `${test.needed},${test.of},${test.beyond}`
}

/**
 * The smallest number of points by which a signal has come with at least the given probability. With
 * probability 0.5 this is the median run length.
 *
 * Survival is followed point by point; once it falls by a constant ratio it is continued by that ratio.
 *
 * @param tests and
 * @param shift as for `runLengthOfTests`
 * @param probability above 0 and below 1
 * @returns infinite where no test can signal
 * @throws ArgumentError as `runLengthOfTests`, and where the probability is out of range
 */
export function runLengthQuantile(
  tests: readonly (RunTest | RunPattern)[],
  shift: number,
  probability: number,
): number {
  if (!(probability > 0 && probability < 1)) {
    throw new ArgumentError('probability', `${probability} is not between 0 and 1`)
  }
  const { chain, probabilities } = chainUnder(tests, shift)
  if (runLengthOfTests(tests, shift) === Number.POSITIVE_INFINITY) return Number.POSITIVE_INFINITY
  const n = chain.states
  const regions = probabilities.length
  // The states' probabilities given that no signal has come, and the probability of that. Survival and signals
  // are followed apart, so that neither is a small difference of the other.
  let mass = new Float64Array(n)
  mass[0] = 1
  let survival = 1
  let signalled = 0
  for (let points = 1; ; points++) {
    const moved = new Float64Array(n)
    let hazard = 0
    let alive = 0
    for (let state = 0; state < n; state++) {
      const here = mass[state] as number
      if (here === 0) continue
      for (let region = 0; region < regions; region++) {
        const p = here * (probabilities[region] as number)
        const to = chain.next[state * regions + region] as number
        if (to < 0) hazard += p
        else {
          moved[to] = (moved[to] as number) + p
          alive += p
        }
      }
    }
    signalled += survival * hazard
    survival *= alive
    if (signalled >= probability || alive === 0) return points
    let change = 0
    for (let state = 0; state < n; state++) {
      moved[state] = (moved[state] as number) / alive
      change += Math.abs((moved[state] as number) - (mass[state] as number))
    }
    mass = moved
    if (change <= 1e-13 && hazard > 0) {
      const more = (Math.log1p(-probability) - Math.log(survival)) / Math.log1p(-hazard)
      return points + Math.max(1, Math.ceil(more))
    }
  }
}

function chainUnder(
  tests: readonly (RunTest | RunPattern)[],
  shift: number,
): { chain: TestChain; probabilities: number[] } {
  const chain = testChain(tests)
  return { chain, probabilities: regionProbabilities(chain, shift) }
}
