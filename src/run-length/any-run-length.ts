import { regionProbabilities } from './region-probabilities.ts'
import type { RunPattern, RunTest } from './run-test.ts'
import { type StepPattern, stepMemory } from './step-memory.ts'
import { stepRunLength } from './step-run-length.ts'
import { testChain } from './test-chain.ts'
import { runLengthOfTests } from './tests-run-length.ts'

/**
 * Nodes a region. Polynomials through eight hold twelve digits, through six where no region takes more than half of all
 * points; long steady runs, whose density is a power of that order, need more.
 */
function nodesFor(patterns: readonly StepPattern[], probabilities: readonly number[]): number {
  const steady = patterns.map(({ pattern, length }) => (pattern === 'steady' ? length : 0))
  return Math.max(Math.max(...probabilities) > 0.5 ? 8 : 6, ...steady)
}

const remembered = new Map<string, number>()

/**
 * Average number of independent normal points until any of the tests signals, the signalling point counted, for any
 * set of tests that a study can choose: those by lines as `runLengthOfTests`, steadily rising or falling and
 * alternating points as `stepRunLength`. At shift 0 this is the average distance between false alarms. The latest 500
 * results are kept.
 *
 * Good to ten digits.
 *
 * @param tests with none the run length is infinite
 * @param shift how far the true mean lies from the centre line, in standard errors of the plotted point
 * @throws ArgumentError where a test is malformed, the set is too large for `testChain`, or the shift not finite
 */
export function runLengthOfAny(
  tests: readonly (RunTest | RunPattern | StepPattern)[],
  shift: number,
): number {
  const byLines = tests.filter((test): test is RunTest | RunPattern => !isStepPattern(test))
  const bySteps = tests.filter(isStepPattern)
  if (bySteps.length === 0) return runLengthOfTests(byLines, shift)
  const key = JSON.stringify([shift, byLines, bySteps])
  const found = remembered.get(key)
  if (found !== undefined) return found
  const chain = testChain(byLines)
  const probabilities = regionProbabilities(chain, shift)
  const nodes = nodesFor(bySteps, probabilities)
  const result = stepRunLength(chain, probabilities, stepMemory(bySteps), nodes)
  if (remembered.size >= 500) remembered.delete(remembered.keys().next().value as string)
  remembered.set(key, result)
  return result
}

function isStepPattern(test: RunTest | RunPattern | StepPattern): test is StepPattern {
  return 'pattern' in test && (test.pattern === 'steady' || test.pattern === 'alternating')
}
