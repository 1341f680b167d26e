import type { Panel } from './model.ts'
import type { SlowChart } from './slow-change.ts'

/** A running average and its limits in the unit of the chart, parallel to its subgroups; null where one is left out. */
export interface AverageOnScale {
  readonly values: readonly (number | null)[]
  readonly lower: readonly (number | null)[]
  readonly upper: readonly (number | null)[]
}

/**
 * A running average of standardised points, brought back to the scale of the points: centre + z σ, with the centre line
 * and the standard error of each. Where subgroups are alike this is the average of the points themselves.
 */
export function averageOnScale({ centre, sigma }: Panel, average: SlowChart): AverageOnScale {
  const back = (z: readonly (number | null)[]) =>
    z.map((each, i) => {
      const [middle, error] = [centre[i] ?? null, sigma[i] ?? null]
      return each === null || middle === null || error === null ? null : middle + each * error
    })
  return { values: back(average.above), lower: back(average.lower), upper: back(average.upper) }
}
