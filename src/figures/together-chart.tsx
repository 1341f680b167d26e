import { line as lineShape, scaleLinear } from 'd3'
import type { TogetherChart, TogetherPoint } from '../charts/together.ts'
import { formatNumber } from '../words/format.ts'
import { buildLabels } from './build-scale.ts'
import type { Palette } from './palette.ts'
import { BuildNames } from './strip.tsx'
import { round, SIZE, Text } from './text.tsx'
import { textWidth, wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

interface TogetherFigureProps {
  readonly chart: TogetherChart
  readonly layout: TimelineLayout
  readonly buildNames: readonly string[]
  /** Designators of the rows. */
  readonly designators: readonly string[]
  readonly palette: Palette
  /** Null where the element around it says what it shows. */
  readonly label: string | null
}

const HEIGHT = 220
const LABEL_ROW = 15
const LABEL_ROWS = 4
const FOOT = 24

/** Short names of what moved at a point: at most three. */
function movedShort(point: TogetherPoint, designators: readonly string[]): string {
  const names = point.moved.slice(0, 3).map((r) => designators[r] ?? '')
  return `${names.join(', ')}${point.moved.length > 3 ? ' …' : ''}`
}

/** T² of every build against its limit, what moved written at the points outside. Drawn as a distance, its root. */
export function TogetherFigure(props: TogetherFigureProps) {
  const { chart, layout, buildNames, designators, palette, label } = props
  const { scale, width, room } = layout
  const points = chart.points.filter((point) => scale.inView(point.position))
  const titles = room === 'narrow' ? 18 : 0
  const named = placeNames(points, designators, scale.centre, scale.x0, room === 'narrow' ? width : scale.x1)
  const rows = Math.max(-1, ...named.map((each) => each.row)) + 1
  const top = titles + rows * LABEL_ROW + 8
  const bottom = top + HEIGHT
  const height = bottom + FOOT
  const highest = Math.max(1, ...points.map((point) => Math.sqrt(Math.max(point.t2, point.limit))))
  const y = scaleLinear([0, highest * 1.05], [bottom, top])
  const at = (t2: number) => y(Math.sqrt(t2))
  const radius = Math.max(1.3, Math.min(3.2, scale.step * 0.24))
  const line = lineShape()(points.map((point) => [round(scale.centre(point.position)), round(at(point.t2))]))
  const last = points.at(-1)
  const ticks = y.ticks(4).map((root) => root * root)
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: named by aria-label, or by the element around it
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      {...(label === null ? { 'aria-hidden': true } : { role: 'img', 'aria-label': label })}
    >
      <rect
        x={scale.x0}
        y={round(top)}
        width={round(scale.x1 - scale.x0)}
        height={HEIGHT}
        fill={palette.wash}
        fill-opacity={0.5}
      />
      {room === 'narrow' ? (
        <Text x={0} y={12} palette={palette}>
          T² of the build’s means
        </Text>
      ) : (
        wrapText('T² of the build’s means', SIZE, scale.x0 - 60).map((text, i) => (
          <Text key={text} x={0} y={top + 10 + i * 16} palette={palette}>
            {text}
          </Text>
        ))
      )}
      {ticks.map((tick) => (
        <Text key={tick} x={scale.x0 - 8} y={at(tick) + 4} palette={palette} tone="soft" anchor="end">
          {formatNumber(tick, 0)}
        </Text>
      ))}
      <path d={limitPath(points, scale.start, scale.end, at)} fill="none" stroke={palette.soft} />
      {line !== null && <path d={line} fill="none" stroke={palette.faint} />}
      {points.map((point) => (
        <circle
          key={point.position}
          cx={round(scale.centre(point.position))}
          cy={round(at(point.t2))}
          r={round(point.outside ? radius + 1 : radius)}
          fill={point.missing.length > 0 ? palette.paper : point.outside ? palette.ink : palette.soft}
          stroke={point.missing.length > 0 ? (point.outside ? palette.ink : palette.soft) : palette.paper}
          stroke-width={point.missing.length > 0 ? 1.5 : 1}
        />
      ))}
      {named.map(({ point, x, row, text }) => (
        <g key={point.position}>
          <path
            d={`M${round(scale.centre(point.position))} ${round(at(point.t2) - radius - 3)}V${round(top - 4 - row * LABEL_ROW)}`}
            stroke={palette.rule}
            fill="none"
          />
          <Text x={x} y={top - 6 - row * LABEL_ROW} palette={palette}>
            {text}
          </Text>
        </g>
      ))}
      {last !== undefined && (
        <Text
          x={room === 'narrow' ? width : scale.x1 + 14}
          y={at(last.limit) + 4}
          palette={palette}
          tone="soft"
          anchor={room === 'narrow' ? 'end' : 'start'}
        >
          {room === 'narrow' ? formatNumber(last.limit, 1) : `limit ${formatNumber(last.limit, 1)}`}
        </Text>
      )}
      <BuildNames
        labels={buildLabels(scale, (position) => buildNames[position] ?? '', [], SIZE)}
        y={height - 6}
        palette={palette}
      />
    </svg>
  )
}

/** The limit of each build, stepped. */
function limitPath(
  points: readonly TogetherPoint[],
  start: (position: number) => number,
  end: (position: number) => number,
  at: (t2: number) => number,
): string {
  let path = ''
  for (const [i, point] of points.entries()) {
    const x = i === 0 ? start(point.position) : null
    const y = round(at(point.limit))
    path += x === null ? `V${y}` : `M${round(x)} ${y}`
    const next = points[i + 1]
    path += `H${round(next === undefined ? end(point.position) : start(next.position))}`
  }
  return path
}

interface PlacedName {
  readonly point: TogetherPoint
  readonly x: number
  readonly row: number
  readonly text: string
}

/**
 * Names at the points outside, the most unusual first, each in the lowest row that has room; what has none is left out.
 */
function placeNames(
  points: readonly TogetherPoint[],
  designators: readonly string[],
  centre: (position: number) => number,
  x0: number,
  x1: number,
): PlacedName[] {
  const taken: { row: number; from: number; to: number }[] = []
  const placed: PlacedName[] = []
  const outside = points.filter((point) => point.outside).sort((a, b) => b.t2 / b.limit - a.t2 / a.limit)
  for (const point of outside) {
    const text = movedShort(point, designators)
    const wide = textWidth(text, SIZE)
    const x = Math.max(x0, Math.min(x1 - wide, centre(point.position) - wide / 2))
    for (let row = 0; row < LABEL_ROWS; row++) {
      const free = taken.every((other) => other.row !== row || x + wide + 6 < other.from || x > other.to + 6)
      if (!free) continue
      taken.push({ row, from: x, to: x + wide })
      placed.push({ point, x, row, text })
      break
    }
  }
  return placed
}
