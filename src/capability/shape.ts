import type { CharacteristicKind } from '../domain/characteristic.ts'
import { resampledFits } from './bootstrap.ts'
import { type ChoiceReason, chooseDistribution } from './choose-distribution.ts'
import { designEffect, groupValues } from './design-effect.ts'
import type { FittedDistribution } from './fitted-distribution.ts'
import { type FractionEstimate, fractionOutsideEstimate, type OutsideBy } from './fraction-outside.ts'
import type { Limits } from './indices.ts'
import type { IndexPair } from './performance.ts'
import { profileFractionOutside, profileIndexPair } from './profile-interval.ts'
import { quantileIndexPair } from './quantile-interval.ts'
import { quantileIndices } from './quantile-method.ts'

/** The distribution that a characteristic's values are judged by, and what follows from its shape. */
export interface Shape {
  readonly fitted: FittedDistribution
  readonly reason: ChoiceReason
  /** Values that it was chosen and fitted on. */
  readonly chosenOn: number
  /** Null for a normal distribution, whose indices come from mean and sigma of all values. */
  readonly byQuantiles: ShapeFigures | null
}

/** Figures by the quantiles of a distribution that is not normal. */
export interface ShapeFigures {
  /** X0.135 %, X50 % and X99.865 %, in the unit of the values. */
  readonly low: number
  readonly middle: number
  readonly high: number
  /** How the intervals were found; null where there is none, and then no index either. */
  readonly interval: 'profile likelihood' | 'bootstrap' | null
  readonly indices: IndexPair
  readonly outside: OutsideBy<FractionEstimate>
}

/** Replicates of a bootstrap: an interval moves by a twentieth of its width between seeds. */
const REPLICATES = 400

/** The same values give the same interval. */
const SEED = 20_261_125

/**
 * Chooses the distribution of some values and computes indices and shares by its quantiles where it is not normal:
 * intervals by profile likelihood for the families with a floor, by bootstrap for the Johnson families. A bootstrap on a
 * Johnson family takes a second or more: use another thread.
 *
 * @param limits that bind, in the unit of the values
 * @param values of one stage
 * @param builds label of each value's build
 * @param confidence as a fraction
 * @returns null where no distribution fits: fewer than five values, or all the same
 */
export function shapeOf(
  kind: CharacteristicKind,
  limits: Limits,
  values: ArrayLike<number>,
  builds: ArrayLike<number>,
  confidence: number,
): Shape | null {
  const choice = chooseDistribution(kind, values, builds)
  if (choice === null) return null
  const { distribution: fitted, reason } = choice
  const figures = fitted.family === 'normal' ? null : shapeFigures(limits, fitted, values, builds, confidence)
  return { fitted, reason, chosenOn: values.length, byQuantiles: figures }
}

const NONE: Pick<ShapeFigures, 'interval' | 'indices' | 'outside'> = {
  interval: null,
  indices: { spread: null, nearer: null },
  outside: { below: null, above: null, total: null },
}

/**
 * Indices and shares by the quantiles of a distribution fitted to some values; as `shapeOf`.
 *
 * @param fitted to these values, and not normal
 */
export function shapeFigures(
  limits: Limits,
  fitted: FittedDistribution,
  values: ArrayLike<number>,
  builds: ArrayLike<number>,
  confidence: number,
): ShapeFigures {
  const { low, middle, high } = quantileIndices(limits, fitted)
  const quantiles = { low, middle, high }
  if (limits.lower === null && limits.upper === null) return { ...quantiles, ...NONE }
  const inflation = designEffect(groupValues(values, builds), 1)
  const indices = profileIndexPair(limits, fitted, values, inflation, confidence)
  const outside = profileFractionOutside(limits, fitted, values, inflation, confidence)
  if (indices !== null && outside !== null) {
    return { ...quantiles, interval: 'profile likelihood', indices, outside }
  }
  // Where builds do not differ, parts are independent, and there are more of them than builds.
  const clusters = inflation > 1 ? builds : null
  const resampled = resampledFits(
    fitted.family,
    values,
    clusters as ArrayLike<number> | null,
    SEED,
    REPLICATES,
  )
  if (resampled === null) return { ...quantiles, ...NONE }
  return {
    ...quantiles,
    interval: 'bootstrap',
    indices: quantileIndexPair(limits, fitted, resampled, confidence),
    outside: fractionOutsideEstimate(limits, fitted, resampled, confidence),
  }
}
