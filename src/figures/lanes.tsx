import type { Lane, LaneModel } from './lane-model.ts'
import type { MovedBand } from './moved-band.tsx'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText, textWidth, wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

const LANE = 20
const TRACK = 14

interface LanesProps {
  readonly model: LaneModel
  readonly layout: TimelineLayout
  /** Top edge. */
  readonly y: number
  /** Where something moved: runs that begin there are framed. */
  readonly band: MovedBand | null
  readonly palette: Palette
}

/** Height of the lanes in pixels, the line of what held throughout included. */
export function lanesHeight(model: LaneModel, layout: TimelineLayout): number {
  return model.lanes.length * LANE + throughoutLines(model, layout).length * 16
}

/** What the process was run with, build by build, on the scale of builds. */
export function Lanes({ model, layout, y, band, palette }: LanesProps) {
  const lines = throughoutLines(model, layout)
  return (
    <g>
      {model.lanes.map((lane, i) => (
        <OneLane
          key={`${lane.name} ${i}`}
          lane={lane}
          layout={layout}
          y={y + i * LANE}
          band={band}
          palette={palette}
        />
      ))}
      {lines.map((line, i) => (
        <Text
          key={line}
          x={layout.scale.x0}
          y={y + model.lanes.length * LANE + 13 + i * 16}
          palette={palette}
          tone="soft"
        >
          {line}
        </Text>
      ))}
    </g>
  )
}

function throughoutLines(model: LaneModel, layout: TimelineLayout): string[] {
  if (model.throughout.length === 0) return []
  return wrapText(`throughout: ${model.throughout.join(' · ')}`, SIZE, layout.scale.x1 - layout.scale.x0)
}

interface OneLaneProps {
  readonly lane: Lane
  readonly layout: TimelineLayout
  readonly y: number
  readonly band: MovedBand | null
  readonly palette: Palette
}

function OneLane({ lane, layout, y, band, palette }: OneLaneProps) {
  const { scale } = layout
  return (
    <g>
      <Text x={scale.x0 - 10} y={y + 11} palette={palette} tone="soft" anchor="end">
        {fitText(lane.name, SIZE, scale.x0 - 14)}
      </Text>
      {lane.bars !== null ? (
        <Bars bars={lane.bars} layout={layout} y={y} palette={palette} />
      ) : lane.levels !== null ? (
        <Levels lane={lane} levels={lane.levels} layout={layout} y={y} palette={palette} />
      ) : lane.written ? (
        <Written lane={lane} layout={layout} y={y} palette={palette} />
      ) : (
        <Runs lane={lane} layout={layout} y={y} band={band} palette={palette} />
      )}
    </g>
  )
}

function Runs({ lane, layout, y, band, palette }: OneLaneProps) {
  const { scale } = layout
  const gap = Math.min(1.5, scale.step / 4)
  return (
    <g>
      {lane.runs.map((run) => {
        const x = scale.start(run.from)
        const width = scale.end(run.to) - x - (run.to === scale.to ? 0 : gap)
        const framed = band !== null && run.from > scale.from && run.from >= band.from && run.from <= band.to
        const text = textWidth(run.text, SIZE) <= width - 8 ? run.text : ''
        return (
          <g key={run.from}>
            <rect
              x={round(x)}
              y={y}
              width={round(width)}
              height={TRACK}
              fill={palette.wash}
              {...(framed ? { stroke: palette.ink, 'stroke-width': 1 } : {})}
            />
            {text !== '' && (
              <Text x={x + 5} y={y + 11} palette={palette} tone={framed ? 'ink' : 'soft'} strong={framed}>
                {text}
              </Text>
            )}
          </g>
        )
      })}
    </g>
  )
}

/** What people wrote: a frame over its builds, the words in it or after it, as far as the next one. */
function Written({ lane, layout, y, palette }: Omit<OneLaneProps, 'band'>) {
  const { scale } = layout
  return (
    <g>
      {lane.runs.map((run, i) => {
        const x = scale.start(run.from)
        const end = scale.end(run.to)
        const next = lane.runs[i + 1]
        const room = (next === undefined ? scale.x1 : scale.start(next.from)) - 6
        const inside = textWidth(run.text, SIZE) <= end - x - 8 || end - x > room - end
        const at = inside ? x + 5 : end + 5
        const text = fitText(run.text, SIZE, (inside ? Math.min(end, room) : room) - at)
        return (
          <g key={`${run.from} ${run.text}`}>
            <rect
              x={round(x + 0.5)}
              y={y + 0.5}
              width={round(Math.max(2, end - x - 1))}
              height={TRACK - 1}
              fill={palette.paper}
              stroke={palette.soft}
            />
            {text !== '' && (
              <Text x={at} y={y + 11} palette={palette}>
                {text}
              </Text>
            )}
          </g>
        )
      })}
    </g>
  )
}

interface LevelsProps {
  readonly lane: Lane
  readonly levels: readonly string[]
  readonly layout: TimelineLayout
  readonly y: number
  readonly palette: Palette
}

/** A condition that changes too often for words in its runs: each value has a height of its own. */
function Levels({ lane, levels, layout, y, palette }: LevelsProps) {
  const { scale, width, room } = layout
  const height = TRACK / levels.length
  const path = lane.runs
    .map((run) => {
      const top = y + levels.indexOf(run.text) * height
      const wide = scale.end(run.to) - scale.start(run.from)
      return `M${round(scale.start(run.from))} ${round(top)}h${round(wide)}v${round(height - 1)}h${round(-wide)}z`
    })
    .join('')
  return (
    <g>
      <rect x={scale.x0} y={y} width={round(scale.x1 - scale.x0)} height={TRACK} fill={palette.wash} />
      <path d={path} fill={palette.faint} fill-opacity={0.8} />
      {room === 'full' && (
        <Text x={scale.x1 + 14} y={y + 11} palette={palette} tone="soft">
          {fitText(`from the top: ${levels.join(', ')}`, SIZE, width - scale.x1 - 14)}
        </Text>
      )}
    </g>
  )
}

interface BarsProps {
  readonly bars: readonly { readonly position: number; readonly value: number }[]
  readonly layout: TimelineLayout
  readonly y: number
  readonly palette: Palette
}

function Bars({ bars, layout, y, palette }: BarsProps) {
  const { scale, room } = layout
  const most = Math.max(1, ...bars.map((bar) => bar.value))
  const foot = y + TRACK
  const gap = Math.min(1, scale.step / 4)
  const path = bars
    .map(({ position, value }) => {
      const height = (value / most) * (TRACK - 1)
      return height === 0
        ? ''
        : `M${round(scale.start(position))} ${foot}v${round(-height)}h${round(scale.step - gap)}v${round(height)}z`
    })
    .join('')
  return (
    <g>
      <line x1={scale.x0} x2={scale.x1} y1={foot} y2={foot} stroke={palette.rule} />
      <path d={path} fill={palette.faint} fill-opacity={0.8} />
      {room === 'full' && (
        <Text x={scale.x1 + 14} y={y + 11} palette={palette} tone="soft">
          {`up to ${most}`}
        </Text>
      )}
    </g>
  )
}
