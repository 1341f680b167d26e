import { mean } from 'd3'
import type { GaugeReading } from '../gauges/readings.ts'

/** Readings of one part by one inspector, as deviations from the mean of the part. */
export interface ReadingsCell {
  readonly inspector: number
  readonly deviations: readonly number[]
}

export interface StudyReadingsModel {
  readonly inspectors: readonly string[]
  /** Mean deviation of each inspector from the means of the parts, by the readings that there are. */
  readonly offsets: readonly number[]
  /** Smallest part first. */
  readonly parts: readonly {
    readonly name: string
    readonly mean: number
    readonly cells: readonly ReadingsCell[]
  }[]
  /** Greatest distance of a reading from the mean of its part. */
  readonly reach: number
}

/** Readings around each part: what is left of them once the parts’ own sizes are taken out. */
export function studyReadingsModel(readings: readonly GaugeReading[]): StudyReadingsModel {
  const inspectors = [...new Set(readings.map(({ inspector }) => inspector))]
  const names = [...new Set(readings.map(({ part }) => part))]
  const parts = names
    .map((name) => {
      const own = readings.filter(({ part }) => part === name)
      const centre = mean(own, ({ value }) => value) as number
      const cells = inspectors.flatMap((inspector, i) => {
        const deviations = own
          .filter((each) => each.inspector === inspector)
          .map(({ value }) => value - centre)
        return deviations.length === 0 ? [] : [{ inspector: i, deviations }]
      })
      return { name, mean: centre, cells }
    })
    .sort((a, b) => a.mean - b.mean)
  const all = parts.flatMap(({ cells }) => cells)
  const offsets = inspectors.map(
    (_, i) =>
      mean(all.filter(({ inspector }) => inspector === i).flatMap(({ deviations }) => deviations)) ?? 0,
  )
  const reach = Math.max(0, ...all.flatMap(({ deviations }) => deviations.map(Math.abs)))
  return { inspectors, offsets, parts, reach }
}
