import type { RunTest } from '../run-length/run-test.ts'
import type { PanelId } from './model.ts'

/** Which side of the centre line a signal lies on. */
export type Side = 'above' | 'below'

export type TestId = 'beyond-three-sigma' | 'two-of-three' | 'four-of-five' | 'eight-on-one-side'

/** A test for signals: `needed` of `of` points in a row lie beyond `beyond` sigmas on the same side. */
export interface SignalTest extends RunTest {
  readonly id: TestId
  /** The panels that it applies to. */
  readonly panels: readonly PanelId[]
}

/**
 * The four tests of the Western Electric Statistical Quality Control Handbook (1956), pages 25–28, each on one
 * side of the centre line at a time.
 *
 * On the moving range and the spread only the first applies: moving ranges are correlated with one another, so
 * that runs in them mean nothing (the handbook says the same), and the spread's distribution is skew.
 */
export const WESTERN_ELECTRIC: readonly SignalTest[] = [
  { id: 'beyond-three-sigma', needed: 1, of: 1, beyond: 3, panels: ['location', 'moving-range', 'spread'] },
  { id: 'two-of-three', needed: 2, of: 3, beyond: 2, panels: ['location'] },
  { id: 'four-of-five', needed: 4, of: 5, beyond: 1, panels: ['location'] },
  { id: 'eight-on-one-side', needed: 8, of: 8, beyond: 0, panels: ['location'] },
]
