import { requirePositive } from '../numbers/argument-checks.ts'

/** How fine a gauge's step is beside what is to be seen with it. */
export interface StepSize {
  /** Step over six standard deviations of the spread; null where that is not known. */
  readonly shareOfSpread: number | null
  /** Step over the width of the tolerance; null where that is not known. */
  readonly shareOfTolerance: number | null
  /** At most a tenth of each of the two that are known; null where neither is. */
  readonly fine: boolean | null
}

/**
 * The gauge's step against the spread and the tolerance: at most a tenth of the smaller of the two is asked for.
 * Whether readings themselves show steps too coarse for a chart, `gaugeResolution` tells.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter I, section E (from memory); the tenth is
 * common practice.
 *
 * @param step smallest difference that the gauge shows, above 0
 * @param totalSd standard deviation of parts and gauge together; null where not known
 * @param toleranceWidth upper less lower limit; null where not known
 * @throws ArgumentError where a figure is not above zero
 */
export function stepSize(step: number, totalSd: number | null, toleranceWidth: number | null): StepSize {
  requirePositive('step', step)
  if (totalSd !== null) requirePositive('totalSd', totalSd)
  if (toleranceWidth !== null) requirePositive('toleranceWidth', toleranceWidth)
  const shareOfSpread = totalSd === null ? null : step / (6 * totalSd)
  const shareOfTolerance = toleranceWidth === null ? null : step / toleranceWidth
  const known = [shareOfSpread, shareOfTolerance].filter((share) => share !== null)
  // A step of exactly a tenth may come out a digit above it.
  const fine = known.length === 0 ? null : known.every((share) => share <= 0.1 * (1 + 1e-12))
  return { shareOfSpread, shareOfTolerance, fine }
}
