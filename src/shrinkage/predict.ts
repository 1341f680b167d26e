import { nearerIndexInterval } from '../capability/confidence.ts'
import type { IndexEstimate } from '../capability/index-estimate.ts'
import { nearerIndex } from '../capability/indices.ts'
import { normalLower, normalUpper } from '../distributions/normal.ts'
import type { ScaleFactors } from '../domain/build.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { type Estimate, estimator } from './estimate.ts'
import { forecastSize, type SizeForecast } from './size-forecast.ts'
import type { ProcessState } from './state.ts'
import { millimetres } from './terms.ts'

/** What a characteristic is expected to be under given factors. Lengths in its unit. */
export interface PredictedSize {
  /** Of the process, with the interval of its estimate. */
  readonly mean: Estimate
  /** Standard deviation of the means of builds, were they of very many parts. */
  readonly sigmaBetween: number
  /** Standard deviation of single parts inside a build. */
  readonly sigmaWithin: number
  /** Null without a limit. */
  readonly ppk: IndexEstimate | null
  /** Fraction outside the limits by the normal distribution; null without a limit. */
  readonly outside: number | null
}

/** One characteristic before and after a change of factors. */
export interface Prediction {
  readonly characteristic: Characteristic
  readonly present: PredictedSize
  readonly changed: PredictedSize
  /** Whether more parts will be outside than at present; null without a limit. */
  readonly worse: boolean | null
}

/**
 * Mean, Ppk and fraction outside of every characteristic under the present factors and under new ones. Characteristics
 * that cannot be forecast, for want of a nominal, a factor or an axis, are left out.
 */
export function predictChange(
  state: ProcessState,
  present: ScaleFactors,
  changed: ScaleFactors,
): Prediction[] {
  return state.fit.terms.flatMap((terms) => {
    const before = forecastSize(state, terms, present)
    const after = forecastSize(state, terms, changed)
    if (before === null || after === null) return []
    const { characteristic } = terms
    const one = predicted(characteristic, before, state)
    const other = predicted(characteristic, after, state)
    const worse = one.outside === null || other.outside === null ? null : other.outside > one.outside
    return [{ characteristic, present: one, changed: other, worse }]
  })
}

function predicted(
  characteristic: Characteristic,
  forecast: SizeForecast,
  { fit }: ProcessState,
): PredictedSize {
  const unit = millimetres(characteristic)
  const { betweenVariance, withinVariance } = forecast
  const mean = forecast.mean / unit
  const meanVariance = forecast.meanVariance / unit ** 2
  const variance = (betweenVariance + withinVariance) / unit ** 2
  const sigma = Math.sqrt(variance)
  const { lower, upper } = characteristic
  const dfBetween = Math.max(1, forecast.builds - 1)
  const dfWithin = fit.scatter?.df ?? 1
  // Degrees of freedom of the sum by Satterthwaite's approximation, Biometrics Bulletin 2 (1946), 110–114.
  const df =
    (betweenVariance + withinVariance) ** 2 /
    (betweenVariance ** 2 / dfBetween + withinVariance ** 2 / dfWithin)
  const index = nearerIndex({ lower, upper }, mean, sigma)
  const below = lower === null ? 0 : normalLower((lower - mean) / sigma)
  const above = upper === null ? 0 : normalUpper((upper - mean) / sigma)
  return {
    mean: estimator(dfBetween, fit.confidence)(mean, meanVariance),
    sigmaBetween: Math.sqrt(betweenVariance) / unit,
    sigmaWithin: Math.sqrt(withinVariance) / unit,
    ppk: index === null ? null : nearerIndexInterval(index, variance / meanVariance, df, fit.confidence),
    outside: index === null ? null : below + above,
  }
}
