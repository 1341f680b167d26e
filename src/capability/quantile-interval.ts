import type { ResampledFits } from './bootstrap.ts'
import { bootstrapInterval } from './bootstrap-interval.ts'
import type { FittedDistribution } from './fitted-distribution.ts'
import type { Limits } from './indices.ts'
import type { IndexPair } from './performance.ts'
import { quantileIndices } from './quantile-method.ts'

/**
 * Indices by the quantile method with bootstrap intervals.
 *
 * By simulation, 95 % intervals cover 92 to 96 % from 50 independent values on, for the normal, Weibull, lognormal, gamma and
 * Rayleigh distributions and the folded normal with mu above 1.5 sigma; some 90 % at 30. With twelve to fifty builds that
 * differ it is 88 to 95 %. Where folding blurs the centre, mu about half of sigma, only 83 % at 50 values and 89 % at 200.
 *
 * @param limits as in `quantileIndices`
 * @param distribution fitted to the values themselves
 * @param resampled its family fitted to resamples of them
 * @param confidence as a fraction
 * @throws ArgumentError as `quantileIndices`
 */
export function quantileIndexPair(
  limits: Limits,
  distribution: FittedDistribution,
  resampled: ResampledFits,
  confidence: number,
): IndexPair {
  const indices = quantileIndices(limits, distribution)
  const estimate = (of: 'spread' | 'nearer') => {
    const value = indices[of]
    if (value === null) return null
    const figure = (fit: FittedDistribution) => quantileIndices(limits, fit)[of] as number
    return { value, ...bootstrapInterval(value, figure, resampled, confidence), confidence }
  }
  return { spread: estimate('spread'), nearer: estimate('nearer') }
}
