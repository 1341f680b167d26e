import type { ChartModel, Panel } from '../charts/model.ts'
import type { SlowChart } from '../charts/slow-change.ts'
import { buildLabels } from './build-scale.ts'
import { ChartPanel } from './chart-panel.tsx'
import {
  type ChartNote,
  type PanelModel,
  panelModel,
  panelScale,
  type SpecificationLimits,
} from './chart-panel-model.ts'
import { limitLabels } from './limit-labels.ts'
import { Band, type MovedBand } from './moved-band.tsx'
import type { Palette } from './palette.ts'
import { RunningAverage } from './running-average.tsx'
import { MARK_ROW } from './signal-marks.ts'
import { BuildNames } from './strip.tsx'
import { SIZE, Text } from './text.tsx'
import { wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

interface ControlChartProps {
  readonly model: ChartModel
  /** Where each subgroup stands on the timeline, ascending; parallel to `model.subgroups`. */
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  /** Names of the builds of the whole timeline. */
  readonly buildNames: readonly string[]
  readonly unit: string
  /** What a point is, in place of the mean or single value of a build. */
  readonly point?: string
  /** What a subgroup is, where it is no build. */
  readonly every?: string
  /** Decimals of limits and means; spread is given one more. */
  readonly decimals: number
  /** Limits of single parts; null leaves them out. */
  readonly specification: SpecificationLimits | null
  /** A running average of the means, laid over them; left out where it is not asked for. */
  readonly average?: SlowChart | null
  readonly band: MovedBand | null
  /** What people wrote about builds. */
  readonly notes?: readonly ChartNote[]
  readonly heights?: PanelHeights | WholeHeight
  readonly palette: Palette
  /** What the figure shows, for those who cannot see it; null where the element around it says so. */
  readonly label: string | null
}

/** Heights of the plotting areas, in pixels. */
export interface PanelHeights {
  readonly location: number
  /** Of the spread, and of the step from build to build. */
  readonly spread: number
}

/** For a figure that has to fit its place: location takes what the others leave, and few words stand at the marks. */
export interface WholeHeight {
  /** Of the figure, in pixels. */
  readonly whole: number
  readonly spread: number
}

const HEIGHTS: PanelHeights = { location: 190, spread: 64 }
const FOOT = 22
const HEAD = 4
/** Between panels, and below the last. */
const GAPS = { free: 26, fitted: 12 } as const
const TAIL = 6
/** Rows of words on either side of a panel in a figure that has to fit its place. */
const FITTED_ROWS = 2
/** A fitted figure grows rather than have a lower panel of location. */
const LEAST_LOCATION = 44

/** Location above, spread below, and between them the step from build to build where builds differ. */
export function ControlChart(props: ControlChartProps) {
  const { model, positions, layout, buildNames, decimals, average = null, band, palette, label } = props
  const { scale, width, room } = layout
  const heights = props.heights ?? HEIGHTS
  const name = (position: number) => buildNames[position] ?? ''
  const bounds: [number, number] = room === 'narrow' ? [2, width - 2] : [scale.x0, scale.x1]
  const parts = [model.location, model.movingRange, model.spread]
    .filter((panel) => panel !== null)
    // One build has no step from another: a panel without a point says nothing.
    .filter((panel) => panel === model.location || panel.values.some((value) => value !== null))
    .map((panel) =>
      panelModel(
        model,
        panel,
        positions,
        scale,
        bounds,
        panel.id === 'location' ? props.specification : null,
        props.notes,
        props.every,
        'whole' in heights ? FITTED_ROWS : undefined,
      ),
    )
  const places = place(parts, room === 'narrow', heights)
  const height = places.height + FOOT
  const named = band === null ? [] : [band.at]
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: named by aria-label, or by the element around it
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      {...(label === null ? { 'aria-hidden': true } : { role: 'img', 'aria-label': label })}
    >
      {band !== null && <Band band={band} layout={layout} height={places.height} palette={palette} />}
      {parts.map((part, i) => {
        const { top, bottom } = places.panels[i] as PanelPlace
        const y = panelScale(part, top, bottom)
        const digits = part.panel.id === 'location' ? decimals : decimals + 1
        return (
          <g key={part.panel.id}>
            <Title panel={part.panel} top={top} rows={part.aboveRows} {...props} />
            <ChartPanel
              model={part}
              layout={layout}
              top={top}
              bottom={bottom}
              y={y}
              labels={limitLabels(part, layout, y, top, bottom, digits, name, (i) =>
                sizeWords(model.subgroups[i]?.n ?? 0, props.every),
              )}
              decimals={digits}
              palette={palette}
            />
            {part.panel.id === 'location' && average !== null && (
              <RunningAverage
                panel={part.panel}
                average={average}
                positions={positions}
                layout={layout}
                y={y}
                palette={palette}
              />
            )}
          </g>
        )
      })}
      <BuildNames labels={buildLabels(scale, name, named, SIZE)} y={height - 6} palette={palette} />
    </svg>
  )
}

interface PanelPlace {
  readonly top: number
  readonly bottom: number
}

/** Edges of the plotting areas, with room for marks, and for titles where they stand above. */
function place(
  parts: readonly PanelModel[],
  titlesAbove: boolean,
  heights: PanelHeights | WholeHeight,
): { panels: PanelPlace[]; height: number } {
  const gap = (titlesAbove ? 18 : 0) + ('whole' in heights ? GAPS.fitted : GAPS.free)
  const marks = MARK_ROW * parts.reduce((sum, { aboveRows, belowRows }) => sum + aboveRows + belowRows, 0)
  const others = (parts.length - 1) * (gap + heights.spread)
  const location =
    'whole' in heights
      ? Math.max(LEAST_LOCATION, heights.whole - HEAD - FOOT - TAIL - marks - others - (titlesAbove ? 18 : 0))
      : heights.location
  const panels: PanelPlace[] = []
  let y = HEAD
  for (const [i, part] of parts.entries()) {
    y += i > 0 ? gap : titlesAbove ? 18 : 0
    const top = y + part.aboveRows * MARK_ROW
    const bottom = top + (part.panel.id === 'location' ? location : heights.spread)
    panels.push({ top, bottom })
    y = bottom + part.belowRows * MARK_ROW
  }
  return { panels, height: y + TAIL }
}

interface TitleProps extends ControlChartProps {
  readonly panel: Panel
  readonly top: number
  readonly rows: number
}

function Title({ panel, top, rows, model, layout, unit, point, every, palette }: TitleProps) {
  const words = panel.id === 'location' && point !== undefined ? point : panelWords(panel, model, every)
  const title = `${words}, ${unit}`
  if (layout.room === 'narrow') {
    return (
      <Text x={0} y={top - rows * MARK_ROW - 6} palette={palette}>
        {title}
      </Text>
    )
  }
  return (
    <g>
      {wrapText(title, SIZE, layout.scale.x0 - 14).map((line, i) => (
        <Text key={line} x={0} y={top + 10 + i * 16} palette={palette}>
          {line}
        </Text>
      ))}
    </g>
  )
}

/** What a panel plots. */
/** "11 parts" of a build, "2 readings" of a day. */
function sizeWords(n: number, every = 'build'): string {
  const noun = every === 'build' ? 'part' : 'reading'
  return `${n} ${noun}${n === 1 ? '' : 's'}`
}

export function panelWords(panel: Panel, model: ChartModel, every = 'build'): string {
  if (panel.id === 'spread') {
    return model.spreadStatistic === 'range' ? `range inside the ${every}` : `spread inside the ${every}`
  }
  if (panel.id === 'moving-range') return `step from ${every} to ${every}`
  return model.form === 'individuals' ? `single value of the ${every}` : `mean of the ${every}`
}
