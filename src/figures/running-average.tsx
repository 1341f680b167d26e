import { line as lineShape } from 'd3'
import { averageOnScale } from '../charts/average-on-scale.ts'
import type { Panel } from '../charts/model.ts'
import type { SlowChart } from '../charts/slow-change.ts'
import type { Palette } from './palette.ts'
import { round } from './text.tsx'
import type { TimelineLayout } from './timeline-layout.ts'

interface RunningAverageProps {
  /** The location that it is laid over. */
  readonly panel: Panel
  readonly average: SlowChart
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  readonly y: (value: number) => number
  readonly palette: Palette
}

/** The running average of a control chart over its points, on their own scale, with its limits as broken lines. */
export function RunningAverage({ panel, average, positions, layout, y, palette }: RunningAverageProps) {
  const { scale } = layout
  const shape = lineShape<number | null>()
    .defined((value, i) => value !== null && scale.inView(positions[i] as number))
    .x((_, i) => round(scale.centre(positions[i] as number)))
    .y((value) => round(y(value as number)))
  const { values, lower, upper } = averageOnScale(panel, average)
  return (
    <g>
      {[lower, upper].map((limits, k) => (
        <path
          key={k === 0 ? 'lower' : 'upper'}
          d={shape([...limits]) ?? ''}
          fill="none"
          stroke={palette.ink}
          stroke-dasharray="2 3"
        />
      ))}
      <path d={shape([...values]) ?? ''} fill="none" stroke={palette.ink} stroke-width={2.2} />
    </g>
  )
}
