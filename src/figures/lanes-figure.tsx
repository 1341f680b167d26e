import { buildLabels } from './build-scale.ts'
import type { LaneModel } from './lane-model.ts'
import { Lanes, lanesHeight } from './lanes.tsx'
import type { Palette } from './palette.ts'
import { BuildNames } from './strip.tsx'
import { SIZE } from './text.tsx'
import type { TimelineLayout } from './timeline-layout.ts'

interface LanesFigureProps {
  readonly model: LaneModel
  readonly layout: TimelineLayout
  /** Names of the builds of the whole timeline. */
  readonly buildNames: readonly string[]
  readonly palette: Palette
  readonly label: string
}

const HEAD = 20

/** What the process was run with, on the timeline of the charts below it. */
export function LanesFigure({ model, layout, buildNames, palette, label }: LanesFigureProps) {
  const { width, scale } = layout
  const height = HEAD + lanesHeight(model, layout) + 4
  const names = buildLabels(scale, (position) => buildNames[position] ?? '', [], SIZE)
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      <BuildNames labels={names} y={12} palette={palette} />
      <Lanes model={model} layout={layout} y={HEAD} band={null} palette={palette} />
    </svg>
  )
}
