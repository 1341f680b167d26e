import { line as lineShape } from 'd3'
import { buildColumns, COLUMN } from './build-columns.ts'
import type { PanelModel } from './chart-panel-model.ts'
import type { Palette } from './palette.ts'
import { round } from './text.tsx'
import type { TimelineLayout } from './timeline-layout.ts'

interface CrowdedPointsProps {
  readonly model: PanelModel
  readonly layout: TimelineLayout
  y(value: number): number
  readonly palette: Palette
}

/** Small points by the hundred as a few paths, one for each look, so that moving them stays quick. */
export function CrowdedPoints({ model, layout, y, palette }: CrowdedPointsProps) {
  const { scale } = layout
  const { panel, positions } = model
  const radius = Math.max(1.3, Math.min(3.2, scale.step * 0.24))
  const disc = (x: number, at: number, r: number) =>
    `M${round(x - r)} ${round(at)}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0`
  const paths = { plain: '', above: '', below: '', either: '', beyond: '' }
  for (const [i, position] of positions.entries()) {
    const value = panel.values[i]
    if (!scale.inView(position) || value === null || value === undefined) continue
    const [x, at] = [scale.centre(position), y(value)]
    const side = model.signalSide.get(i)
    paths[side ?? 'plain'] += disc(x, at, round(side === undefined ? radius : radius + 0.6))
    if (model.beyond.has(i)) paths.beyond += disc(x, at, round(radius + 3))
  }
  const coloured = panel.id === 'location'
  const [over, under] = coloured ? [palette.over, palette.under] : [palette.ink, palette.ink]
  return (
    <g>
      <path d={paths.plain} fill={palette.soft} />
      <path d={paths.beyond} fill="none" stroke={palette.soft} />
      <path d={paths.below + paths.either} fill={under} />
      <path d={paths.above} fill={palette.paper} stroke={over} stroke-width={1.2} />
    </g>
  )
}

/** Where there is no room for points: the least and greatest of every column as a bar, their means as a line. */
export function Columns({ model, layout, y, palette }: CrowdedPointsProps) {
  const { panel, positions } = model
  const columns = buildColumns(
    positions.length,
    (i) => positions[i] as number,
    (i) => panel.values[i],
    layout.scale,
  )
  const bars = columns.map(
    ({ x, min, max }) => `M${round(x + COLUMN / 2)} ${round(y(max) - 0.5)}V${round(y(min) + 0.5)}`,
  )
  const line = lineShape()(columns.map(({ x, mean }) => [round(x + COLUMN / 2), round(y(mean))]))
  return (
    <g>
      <path
        d={bars.join('')}
        fill="none"
        stroke={palette.soft}
        stroke-opacity={0.55}
        stroke-width={COLUMN - 0.5}
      />
      {line !== null && <path d={line} fill="none" stroke={palette.ink} />}
    </g>
  )
}
