import { multiplierFor } from './multiplier.ts'
import type { RunTest } from './run-test.ts'
import { runLengthOfTests } from './tests-run-length.ts'

/**
 * The factor by which all lines of a set of tests must move out to give a wanted in-control average run length.
 * A line at 3 sigma then lies at 3 times the factor; a test that counts points on one side stays as it is.
 *
 * @param runLength wanted average number of points between false alarms, above 1
 * @throws ArgumentError where a test is malformed, or where no factor gives the wanted run length because tests on
 *   one side alone signal more often
 */
export function testsMultiplier(tests: readonly RunTest[], runLength: number): number {
  const scaled = (factor: number) => tests.map((test) => ({ ...test, beyond: factor * test.beyond }))
  return multiplierFor((factor) => runLengthOfTests(scaled(factor), 0), runLength)
}
