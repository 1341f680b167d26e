import { line as lineShape, scaleLinear } from 'd3'
import { formatNumber, formatSigned } from '../words/format.ts'
import { buildLabels } from './build-scale.ts'
import type { Palette } from './palette.ts'
import { BuildNames } from './strip.tsx'
import { round, SIZE, Text } from './text.tsx'
import { wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

/** What one rule for the scale factor would have made of the builds. */
export interface ReplayRow {
  readonly name: string
  /** Deviations from nominal, per cent; parallel to the positions. */
  readonly deviations: readonly number[]
  /** Mean of their squares, per cent squared. */
  readonly meanSquare: number
  readonly changes: number
}

interface ReplayChartProps {
  readonly rows: readonly ReplayRow[]
  /** Where each build stands on the timeline, ascending. */
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  readonly buildNames: readonly string[]
  readonly palette: Palette
  readonly label: string
}

const PANEL = 72
const GAP = 16
const FOOT = 22

/** The same builds under several rules, one above the other on one scale, with their mean squares. */
export function ReplayChart({ rows, positions, layout, buildNames, palette, label }: ReplayChartProps) {
  const { width, scale, room } = layout
  const narrow = room === 'narrow'
  const head = narrow ? 34 : 4
  const step = head + PANEL + GAP
  const height = rows.length * step + FOOT
  const reach = Math.max(...rows.flatMap(({ deviations }) => deviations.map(Math.abs)), Number.MIN_VALUE)
  const names = buildLabels(scale, (position) => buildNames[position] ?? '', [], SIZE)
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {rows.map((row, i) => (
        <Row
          key={row.name}
          row={row}
          top={i * step + head}
          reach={reach}
          narrow={narrow}
          positions={positions}
          layout={layout}
          palette={palette}
        />
      ))}
      <BuildNames labels={names} y={height - 6} palette={palette} />
    </svg>
  )
}

/** What the rule came to, in words. */
export function replayWords({ meanSquare, changes }: ReplayRow): readonly string[] {
  return [
    `mean square ${formatNumber(meanSquare, 4)} %²`,
    changes === 0
      ? 'no change of factor'
      : changes === 1
        ? 'one change of factor'
        : `${changes} changes of factor`,
  ]
}

interface RowProps {
  readonly row: ReplayRow
  readonly top: number
  readonly reach: number
  readonly narrow: boolean
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  readonly palette: Palette
}

function Row({ row, top, reach, narrow, positions, layout, palette }: RowProps) {
  const { scale, width } = layout
  const bottom = top + PANEL
  const y = scaleLinear([-reach, reach], [bottom - 3, top + 3])
  const points = positions.flatMap((position, i) => {
    const deviation = row.deviations[i]
    return deviation === undefined || !scale.inView(position)
      ? []
      : [[scale.centre(position), y(deviation), deviation] as const]
  })
  const path = lineShape<readonly [number, number, number]>(
    ([x]) => round(x),
    ([, at]) => round(at),
  )(points)
  const radius = Math.max(1.4, Math.min(3, scale.step / 3))
  return (
    <g>
      <rect
        x={scale.x0}
        y={top}
        width={round(scale.x1 - scale.x0)}
        height={PANEL}
        fill={palette.wash}
        fill-opacity={0.5}
      />
      <line x1={scale.x0} x2={scale.x1} y1={round(y(0))} y2={round(y(0))} stroke={palette.faint} />
      <path d={path ?? ''} fill="none" stroke={palette.faint} stroke-width={1} />
      {points.map(([x, at, deviation]) => (
        <circle
          key={x}
          cx={round(x)}
          cy={round(at)}
          r={round(radius)}
          fill={deviation < 0 ? palette.under : palette.over}
        />
      ))}
      {[reach, -reach].map((end) => (
        <Text
          key={end}
          x={scale.x0 - 6}
          y={y(end) + (end > 0 ? 10 : 0)}
          palette={palette}
          tone="soft"
          anchor="end"
        >
          {formatSigned(end, 2)}
        </Text>
      ))}
      <Text x={scale.x0 - 6} y={y(0) + 4} palette={palette} tone="soft" anchor="end">
        0 %
      </Text>
      {narrow ? (
        <>
          <Text x={0} y={top - 20} palette={palette} strong>
            {row.name}
          </Text>
          <Text x={0} y={top - 5} palette={palette} tone="soft">
            {replayWords(row).join(', ')}
          </Text>
        </>
      ) : (
        <>
          {wrapText(row.name, SIZE, scale.x0 - 60).map((words, i) => (
            <Text key={words} x={0} y={top + 14 + 16 * i} palette={palette} strong>
              {words}
            </Text>
          ))}
          {replayWords(row)
            .flatMap((words) => wrapText(words, SIZE, width - scale.x1 - 12))
            .map((words, i) => (
              <Text
                key={words}
                x={scale.x1 + 12}
                y={top + 14 + 16 * i}
                palette={palette}
                tone={i === 0 ? 'ink' : 'soft'}
              >
                {words}
              </Text>
            ))}
        </>
      )}
    </g>
  )
}
