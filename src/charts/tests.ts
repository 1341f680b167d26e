import type { RunTest } from '../run-length/run-test.ts'
import type { PanelId } from './model.ts'

/** Which side of the centre line a signal lies on; for a steady run, whether it rises or falls. */
export type Side = 'above' | 'below' | 'either'

export type TestId =
  | 'beyond-three-sigma'
  | 'two-of-three'
  | 'four-of-five'
  | 'eight-on-one-side'
  | 'nine-on-one-side'
  | 'six-steadily'
  | 'fourteen-alternating'
  | 'fifteen-near-the-centre'
  | 'eight-away-from-the-centre'

interface AnyTest {
  readonly id: TestId
  /** The panels that it applies to. */
  readonly panels: readonly PanelId[]
}

/** `needed` of `of` points in a row lie beyond `beyond` standard errors on the same side. */
export interface ZoneTest extends AnyTest, RunTest {}

/** `length` points in a row make a pattern. */
export interface PatternTest extends AnyTest {
  /**
   * steady: each above the last, or each below. alternating: up and down by turns. near: all within `line`
   * standard errors of the centre. away: none within it, on both sides.
   */
  readonly pattern: 'steady' | 'alternating' | 'near' | 'away'
  readonly length: number
  /** Standard errors from the centre; 0 for the patterns that need no line. */
  readonly line: number
}

export type SignalTest = ZoneTest | PatternTest

/**
 * The four tests of the Western Electric Statistical Quality Control Handbook (1956), pages 25–28, each on one
 * side of the centre line at a time.
 *
 * On the moving range and the spread only the first applies: moving ranges are correlated with one another, so
 * that runs in them mean nothing (the handbook says the same), and the spread's distribution is skew.
 */
export const WESTERN_ELECTRIC: readonly ZoneTest[] = [
  { id: 'beyond-three-sigma', needed: 1, of: 1, beyond: 3, panels: ['location', 'moving-range', 'spread'] },
  { id: 'two-of-three', needed: 2, of: 3, beyond: 2, panels: ['location'] },
  { id: 'four-of-five', needed: 4, of: 5, beyond: 1, panels: ['location'] },
  { id: 'eight-on-one-side', needed: 8, of: 8, beyond: 0, panels: ['location'] },
]

/**
 * Optional tests, those of L. S. Nelson, Journal of Quality Technology 16 (1984), 237–239, that the Western
 * Electric four do not contain.
 */
export const OPTIONAL_TESTS: readonly SignalTest[] = [
  { id: 'nine-on-one-side', needed: 9, of: 9, beyond: 0, panels: ['location'] },
  { id: 'six-steadily', pattern: 'steady', length: 6, line: 0, panels: ['location'] },
  { id: 'fourteen-alternating', pattern: 'alternating', length: 14, line: 0, panels: ['location'] },
  { id: 'fifteen-near-the-centre', pattern: 'near', length: 15, line: 1, panels: ['location'] },
  { id: 'eight-away-from-the-centre', pattern: 'away', length: 8, line: 1, panels: ['location'] },
]

/** Every test that a study can choose. */
export const ALL_TESTS: readonly SignalTest[] = [...WESTERN_ELECTRIC, ...OPTIONAL_TESTS]

/** Whether a test is one of the shape of a run, such as six points in a row steadily up, rather than of zones. */
export function isPatternTest(test: SignalTest): test is PatternTest {
  return 'pattern' in test
}
