import type { Moments } from '../description/moments.ts'
import { oneWayAnalysis } from '../variation/one-way.ts'
import type { BetweenTest } from './model.ts'

/**
 * Whether builds differ by more than the scatter inside them explains.
 *
 * Source: the F test of `oneWayAnalysis`.
 *
 * @param subgroups moments of the baseline subgroups
 * @param level probability of calling alike builds different
 * @returns null where it cannot be tested: one subgroup, no subgroup of two values, no spread at all
 */
export function testBetween(subgroups: readonly Moments[], level: number): BetweenTest | null {
  const analysis = oneWayAnalysis(subgroups)
  if (analysis === null) return null
  const { f, dfBetween, dfWithin, p } = analysis
  return { f: Number.isFinite(f) ? f : null, dfBetween, dfWithin, p, differs: p < level }
}
