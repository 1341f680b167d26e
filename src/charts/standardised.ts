import { c4 } from '../constants/c4.ts'
import { ArgumentError } from '../errors.ts'
import type { Signal } from './model.ts'
import { signalsOfPanel } from './signals.ts'
import type { SignalTest } from './tests.ts'

/** A subgroup of one characteristic among several that share a chart. Lengths in the characteristic's unit. */
export interface MixedSubgroup {
  readonly n: number
  readonly mean: number
  /** Null for a single value. */
  readonly sd: number | null
  /** Nominal, or the centre line that the characteristic is charted by. */
  readonly target: number
  /** Standard deviation of single values of this characteristic, above zero. */
  readonly sigma: number
}

/** Location and spread in standard errors, so that 3 is the limit of every point. Parallel to the subgroups. */
export interface StandardisedChart {
  readonly location: readonly number[]
  /** Null for single values, which have no spread. */
  readonly spread: readonly (number | null)[]
  readonly signals: readonly Signal[]
}

/**
 * Deviations of different characteristics on one scale: (mean − target) √n / σ, and the standard deviation less its
 * expectation c4 σ over its standard error σ √(1 − c4²). Sizes, nominals, units and sigmas may all differ.
 *
 * Source: ISO 7870-8, charting techniques for short runs and small mixed batches.
 *
 * @param subgroups in the order of time
 * @throws ArgumentError where a value is not finite, a size is not a count, or a sigma is not above zero
 */
export function standardisedChart(
  subgroups: readonly MixedSubgroup[],
  tests: readonly SignalTest[],
): StandardisedChart {
  const location: number[] = []
  const spread: (number | null)[] = []
  for (const [i, { n, mean, sd, target, sigma }] of subgroups.entries()) {
    if (!(Number.isInteger(n) && n >= 1))
      throw new ArgumentError('subgroups', `${n} values in subgroup ${i + 1}`)
    if (!(Number.isFinite(mean) && Number.isFinite(target) && (sd === null || Number.isFinite(sd)))) {
      throw new ArgumentError('subgroups', `a value of subgroup ${i + 1} is not finite`)
    }
    if (!(sigma > 0 && Number.isFinite(sigma))) {
      throw new ArgumentError('subgroups', `sigma ${sigma} of subgroup ${i + 1} is not above zero`)
    }
    location.push(((mean - target) * Math.sqrt(n)) / sigma)
    spread.push(sd === null || n < 2 ? null : (sd / sigma - c4(n)) / Math.sqrt(1 - c4(n) ** 2))
  }
  const known = spread.flatMap((value, i) => (value === null ? [] : [i]))
  return {
    location,
    spread,
    signals: [
      ...signalsOfPanel(
        'location',
        location.map((_, i) => i),
        location,
        tests,
      ),
      ...signalsOfPanel(
        'spread',
        known,
        known.map((i) => spread[i] as number),
        tests,
      ),
    ],
  }
}
