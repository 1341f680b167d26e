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

/** A test that `length` points in a row lie near the centre, inside both lines, or away from it, outside them. */
export interface RunPattern {
  readonly pattern: 'near' | 'away'
  /** In points, 1 to 30. */
  readonly length: number
  /** Distance of the lines from the centre, in standard errors of the plotted point; not negative. */
  readonly line: number
}

/** The last `of` points of which `needed` lie in a zone: what a test looks at, one for each side if it has sides. */
export interface Window {
  readonly needed: number
  readonly of: number
  /** Whether a point between two neighbouring lines of the chart lies in the zone. */
  readonly holds: (from: number, to: number) => boolean
}

/** Lines that a test divides the chart by, in standard errors from the centre. */
export function linesOf(test: RunTest | RunPattern): number[] {
  const distance = 'pattern' in test ? test.line : test.beyond
  return [-distance, distance]
}

/** @throws ArgumentError where a test is not of the form described */
export function windowsOf(test: RunTest | RunPattern): Window[] {
  if ('pattern' in test) {
    const { pattern, length, line } = test
    check(length, length, line)
    const outside = (from: number, to: number) => from >= line || to <= -line
    const inside = (from: number, to: number) => !outside(from, to)
    return [{ needed: length, of: length, holds: pattern === 'near' ? inside : outside }]
  }
  const { needed, of, beyond } = test
  check(needed, of, beyond)
  return [
    { needed, of, holds: (from) => from >= beyond },
    { needed, of, holds: (_, to) => to <= -beyond },
  ]
}

function check(needed: number, of: number, line: number): void {
  if (!(Number.isInteger(of) && of >= 1 && of <= 30)) {
    throw new ArgumentError('tests', `a window of ${of} points; 1 to 30 can be computed`)
  }
  if (!(Number.isInteger(needed) && needed >= 1 && needed <= of)) {
    throw new ArgumentError('tests', `${needed} of ${of} points cannot be asked for`)
  }
  if (!(line >= 0 && Number.isFinite(line))) {
    throw new ArgumentError('tests', `a line at ${line} sigma`)
  }
}
