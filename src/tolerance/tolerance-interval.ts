import { type Moments, standardDeviation } from '../description/moments.ts'
import { oneSidedToleranceFactor, twoSidedToleranceFactor } from './tolerance-factor.ts'

export interface ToleranceInterval {
  /** In the unit of the values; null where the interval is open below. */
  readonly lower: number | null
  /** Null where the interval is open above. */
  readonly upper: number | null
  /** Distance of the limits from the mean, in sample standard deviations. */
  readonly factor: number
}

/** Which limits the interval has: both, or one only. */
export type ToleranceSides = 'both' | 'lower' | 'upper'

/**
 * Interval that holds, with the given confidence, at least the stated share of the normal population which the values
 * are an independent sample of. Values from several builds that differ are no such sample.
 *
 * @param content share of the population, above 0 and below 1
 * @param confidence above 0 and below 1
 * @returns null for a single value
 * @throws ArgumentError where content or confidence is out of range
 */
export function toleranceInterval(
  moments: Moments,
  sides: ToleranceSides,
  content: number,
  confidence: number,
): ToleranceInterval | null {
  const sd = standardDeviation(moments)
  if (sd === null) return null
  const { n, mean } = moments
  const factorOf = sides === 'both' ? twoSidedToleranceFactor : oneSidedToleranceFactor
  const factor = factorOf(n, n - 1, content, confidence)
  return {
    lower: sides === 'upper' ? null : mean - factor * sd,
    upper: sides === 'lower' ? null : mean + factor * sd,
    factor,
  }
}
