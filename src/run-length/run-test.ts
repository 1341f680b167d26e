import { ArgumentError } from '../errors.ts'

/**
 * A test for special causes of the form "`needed` of the last `of` points lie beyond a line on one side of the
 * centre", evaluated on both sides. One point beyond three sigma is { needed: 1, of: 1, beyond: 3 }, eight in a
 * row on one side { needed: 8, of: 8, beyond: 0 }.
 */
export interface RunTest {
  /** At least 1 and at most `of`. */
  readonly needed: number
  /** Window length in points, at most 30. */
  readonly of: number
  /** Distance of the line from the centre, in standard errors of the plotted point; not negative. */
  readonly beyond: number
}

/** @throws ArgumentError where a test is not of the form that `RunTest` describes */
export function checkRunTests(tests: readonly RunTest[]): void {
  for (const { needed, of, beyond } of tests) {
    if (!(Number.isInteger(of) && of >= 1 && of <= 30)) {
      throw new ArgumentError('tests', `a window of ${of} points; 1 to 30 can be computed`)
    }
    if (!(Number.isInteger(needed) && needed >= 1 && needed <= of)) {
      throw new ArgumentError('tests', `${needed} of ${of} points cannot be asked for`)
    }
    if (!(beyond >= 0 && Number.isFinite(beyond))) {
      throw new ArgumentError('tests', `a line at ${beyond} sigma`)
    }
  }
}
