import { normalUpperQuantile } from '../distributions/normal.ts'
import { studentUpperQuantile } from '../distributions/student.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import type { PrintedBuild } from './observations.ts'
import { forecastSize } from './size-forecast.ts'
import type { ProcessState } from './state.ts'
import { millimetres } from './terms.ts'

/** What to expect of a characteristic in a build that is printed but not measured yet. In the characteristic's unit. */
export interface ExpectedSize {
  readonly buildId: number
  readonly characteristic: Characteristic
  readonly mean: number
  /** Where the mean of the build's parts will lie, with the fit's confidence. */
  readonly meanLower: number
  readonly meanUpper: number
  /** Where one of its parts will lie, with the fit's confidence. */
  readonly partLower: number
  readonly partUpper: number
  /** Whether the mean itself is expected outside the limits. */
  readonly meanOutside: boolean
}

/**
 * Sizes to expect of builds printed with the factors that they carry. Characteristics whose factor is missing, or whose
 * axis is not fitted, are left out.
 */
export function expectedSizes(state: ProcessState, builds: readonly PrintedBuild[]): ExpectedSize[] {
  const tail = (1 - state.fit.confidence) / 2
  return builds.flatMap(({ id, scale }) =>
    state.fit.terms.flatMap((terms) => {
      const forecast = forecastSize(state, terms, scale)
      if (forecast === null) return []
      const { characteristic } = terms
      const unit = millimetres(characteristic)
      const t =
        forecast.builds > 1 ? studentUpperQuantile(tail, forecast.builds - 1) : normalUpperQuantile(tail)
      const ofMean = t * Math.sqrt(forecast.meanVariance + forecast.betweenVariance)
      const ofPart = t * Math.sqrt(forecast.meanVariance + forecast.betweenVariance + forecast.withinVariance)
      const { lower, upper } = characteristic
      const mean = forecast.mean / unit
      return [
        {
          buildId: id,
          characteristic,
          mean,
          meanLower: mean - ofMean / unit,
          meanUpper: mean + ofMean / unit,
          partLower: mean - ofPart / unit,
          partUpper: mean + ofPart / unit,
          meanOutside: (lower !== null && mean < lower) || (upper !== null && mean > upper),
        },
      ]
    }),
  )
}
