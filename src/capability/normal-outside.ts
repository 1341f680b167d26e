import { normalLower } from '../distributions/normal.ts'
import { nearerIndexInterval } from './confidence.ts'
import type { EffectiveSample } from './effective.ts'
import type { FractionEstimate, OutsideBy } from './fraction-outside.ts'
import type { Limits } from './indices.ts'

/**
 * Shares of a normal process beyond each limit, with intervals. A share beyond one limit is Φ(−3 k) for k the index
 * towards it, so that its interval is that of k, exact for independent values. The interval of the share beyond either
 * limit adds up those of the two, each at the confidence that makes them hold together (Bonferroni): it covers at
 * least as often as it says.
 *
 * Source: D. B. Owen and T. A. Hua, Communications in Statistics B 6 (1977), 285–311, for one limit.
 *
 * @param sample mean and sigma in the unit of the limits, with the sizes that their uncertainty goes by
 * @param confidence as a fraction
 */
export function normalOutside(
  limits: Limits,
  sample: EffectiveSample,
  confidence: number,
): OutsideBy<FractionEstimate> {
  const { lower, upper } = limits
  const toLower = lower === null ? null : (sample.mean - lower) / (3 * sample.sigma)
  const toUpper = upper === null ? null : (upper - sample.mean) / (3 * sample.sigma)
  const share = (index: number | null, sure: number): FractionEstimate | null => {
    if (index === null) return null
    const interval = nearerIndexInterval(index, sample.nEffective, sample.df, sure)
    return {
      value: normalLower(-3 * index),
      lower: normalLower(-3 * interval.upper),
      upper: normalLower(-3 * interval.lower),
      confidence,
    }
  }
  const [below, above] = [share(toLower, confidence), share(toUpper, confidence)]
  if (below === null || above === null) return { below, above, total: below ?? above }
  const both = [toLower, toUpper].map((index) => share(index, (1 + confidence) / 2) as FractionEstimate)
  const [one, other] = both as [FractionEstimate, FractionEstimate]
  return {
    below,
    above,
    total: {
      value: one.value + other.value,
      lower: one.lower + other.lower,
      upper: Math.min(1, one.upper + other.upper),
      confidence,
    },
  }
}
