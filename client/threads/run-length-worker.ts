import { ALL_TESTS, type TestId } from '../../src/charts/tests.ts'
import { runLengthOfAny } from '../../src/run-length/any-run-length.ts'

/** What is asked: tests by their names, and shifts in standard errors of a plotted point. */
export interface RunLengthQuestion {
  readonly tests: readonly TestId[]
  readonly shifts: readonly number[]
}

/** Answers come one by one, parallel to the shifts. */
export interface RunLengthAnswer {
  readonly index: number
  /** In plotted points; infinite where no test can signal. */
  readonly runLength: number
}

self.onmessage = ({ data }: MessageEvent<RunLengthQuestion>) => {
  const tests = ALL_TESTS.filter(({ id }) => data.tests.includes(id))
  for (const [index, shift] of data.shifts.entries()) {
    self.postMessage({ index, runLength: runLengthOfAny(tests, shift) } satisfies RunLengthAnswer)
  }
}
