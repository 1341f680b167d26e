import type { GaugeReading } from '../../../src/gauges/readings.ts'

/** Standard deviations of a made-up study. */
export interface Scatter {
  readonly part: number
  readonly inspector: number
  readonly interaction: number
  readonly repeatability: number
}

/** A study drawn from normal components. */
export function drawStudy(
  parts: number,
  inspectors: number,
  trials: number,
  sd: Scatter,
  normal: () => number,
): GaugeReading[] {
  const partOffsets = Array.from({ length: parts }, () => sd.part * normal())
  const inspectorOffsets = Array.from({ length: inspectors }, () => sd.inspector * normal())
  return partOffsets.flatMap((part, i) =>
    inspectorOffsets.flatMap((inspector, j) => {
      const cell = 12.5 + part + inspector + sd.interaction * normal()
      return Array.from({ length: trials }, () => ({
        part: `part ${i + 1}`,
        inspector: `inspector ${j + 1}`,
        value: cell + sd.repeatability * normal(),
      }))
    }),
  )
}
