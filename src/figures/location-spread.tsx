import { scaleLinear } from 'd3'
import type { CapabilitySummary } from '../capability/summary.ts'
import { characteristicTitle, formatNumber, formatSigned } from '../words/format.ts'
import { VerdictMark } from './index-mark.tsx'
import { type PlacedLabel, placeLabels } from './label-placement.ts'
import {
  equalIndexLine,
  type LocationSpreadPoint,
  locationSpreadFrame,
  locationSpreadPoints,
} from './location-spread-model.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

interface LocationSpreadProps {
  readonly rows: readonly CapabilitySummary[]
  /** The Ppk that is asked for. */
  readonly required: number
  readonly width: number
  readonly height: number
  readonly palette: Palette
  readonly label: string
  /** Points lead nowhere without it. */
  readonly links?: PointLinks
}

/** Where points lead. */
export interface PointLinks {
  hrefOf(designator: string): string
  follow(event: MouseEvent, href: string): void
}

const MARGIN = { left: 52, right: 44, top: 30, bottom: 50 }
/** Side of the square about a point that leads somewhere, in pixels. */
const TARGET = 24
/** Lines drawn beside the required one, where they are not too near to it. */
const OTHER_LINES = [1, 1.67, 2, 2.5]

type Place = (value: number) => number

/** Mean against sigma, both in half tolerances: what lies under the required line meets it. */
export function LocationSpread(props: LocationSpreadProps) {
  const { rows, required, width, height, palette, label, links } = props
  const points = locationSpreadPoints(rows)
  const frame = locationSpreadFrame(points, required)
  const x = scaleLinear([-frame.reach, frame.reach], [MARGIN.left, width - MARGIN.right])
  const y = scaleLinear([frame.low, frame.top], [height - MARGIN.bottom, MARGIN.top])
  const box = { x0: MARGIN.left, x1: width - MARGIN.right, y0: MARGIN.top, y1: height - MARGIN.bottom }
  const indices = [required, ...OTHER_LINES.filter((index) => Math.abs(index - required) > 0.12)]
  const lines = indices.flatMap((index) => {
    const line = equalIndexLine(index, frame)
    // A corner of a line says nothing.
    return line === null || line[0][0] - line[1][0] < frame.reach / 2
      ? []
      : [{ index, line: line.map(([a, b]) => [a, b] as const) }]
  })
  const ends = lines.map(({ line }) => y(line[0]?.[1] ?? frame.low))
  const endPlaces = spreadLabels(ends, 14, box.y0, box.y1)
  const numbers = points.map((point) => point.summary.characteristic.designator)
  const places = points.map((point) => ({ x: x(point.offset), y: y(point.sigma) }))
  const widths = numbers.map((text) => textWidth(text, SIZE))
  const labels = placeLabels(places, widths, 13, 7, box)
  return (
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      // What leads somewhere has parts, and is no single image.
      role={links === undefined ? 'img' : 'group'}
      aria-label={label}
    >
      {lines.map(({ index, line }) => (
        <Tent
          key={index}
          vertices={line}
          required={index === required}
          x={x}
          y={y}
          floor={box.y1}
          palette={palette}
        />
      ))}
      <line x1={round(x(0))} x2={round(x(0))} y1={box.y0 - 8} y2={box.y1} stroke={palette.rule} />
      {lines.map(({ index, line }, i) => {
        const end = x(line[0]?.[0] ?? 0)
        // A line that leaves through the floor is named there, inside.
        const inside = end < box.x1 - 1
        return (
          <Text
            key={index}
            x={inside ? end + 8 : box.x1 + 8}
            y={inside ? box.y1 - 5 : (endPlaces[i] as number) + 4}
            palette={palette}
            tone={index === required ? 'ink' : 'soft'}
            strong={index === required}
          >
            {formatNumber(index, 2)}
          </Text>
        )
      })}
      <Axes
        x={x}
        y={y}
        ticks={y.ticks(4)}
        reach={frame.reach}
        width={width}
        height={height}
        palette={palette}
      />
      {points.map((point, i) => (
        <Whisker
          key={point.summary.characteristic.id}
          point={point}
          x={places[i]?.x ?? 0}
          y={y}
          palette={palette}
        />
      ))}
      {points.map((point, i) => (
        <Point
          key={point.summary.characteristic.id}
          point={point}
          place={places[i] as { x: number; y: number }}
          label={labels[i] as PlacedLabel}
          palette={palette}
          links={links}
        />
      ))}
    </svg>
  )
}

interface TentProps {
  /** Foot and head of the right-hand side. */
  readonly vertices: readonly (readonly [number, number])[]
  readonly required: boolean
  readonly x: Place
  readonly y: Place
  readonly floor: number
  readonly palette: Palette
}

/** A line of equal Ppk; the ground under the required one is washed. */
function Tent({ vertices, required, x, y, floor, palette }: TentProps) {
  const [foot, head] = vertices as readonly [readonly [number, number], readonly [number, number]]
  const at = (sign: 1 | -1, [offset, sigma]: readonly [number, number]) =>
    `${round(x(sign * offset))} ${round(y(sigma))}`
  // Both sides in one stroke: where the ridge is cut off, the pen is lifted between them.
  const ridge = head[0] === 0 ? 'L' : 'M'
  const line = `M${at(-1, foot)}L${at(-1, head)}${ridge}${at(1, head)}L${at(1, foot)}`
  if (!required) return <path d={line} fill="none" stroke={palette.faint} />
  const ground = `M${round(x(-foot[0]))} ${floor}L${at(-1, foot)}L${at(-1, head)}L${at(1, head)}L${at(1, foot)}L${round(x(foot[0]))} ${floor}z`
  return (
    <g>
      <path d={ground} fill={palette.wash} />
      <path d={line} fill="none" stroke={palette.ink} stroke-width={1.4} />
    </g>
  )
}

interface AxesProps {
  readonly x: Place
  readonly y: Place
  readonly ticks: readonly number[]
  readonly reach: number
  readonly width: number
  readonly height: number
  readonly palette: Palette
}

function Axes({ x, y, ticks, reach, width, height, palette }: AxesProps) {
  const foot = height - MARGIN.bottom
  const right = width - MARGIN.right
  return (
    <g>
      <line x1={MARGIN.left} x2={right} y1={foot} y2={foot} stroke={palette.faint} />
      {ticks.map((tick) => (
        <Text key={tick} x={MARGIN.left - 8} y={y(tick) + 4} palette={palette} tone="soft" anchor="end">
          {`${formatNumber(tick * 100, 0)} %`}
        </Text>
      ))}
      {[-reach, -reach / 2, reach / 2, reach].map((tick) => (
        <Text key={tick} x={x(tick)} y={foot + 18} palette={palette} tone="soft" anchor="middle">
          {`${formatSigned(tick * 100, 0)} %`}
        </Text>
      ))}
      <Text x={x(0)} y={foot + 18} palette={palette} tone="soft" anchor="middle">
        middle
      </Text>
      <Text x={0} y={14} palette={palette} tone="soft">
        overall sigma, in half tolerances
      </Text>
      <Text x={right + 8} y={14} palette={palette} tone="soft">
        Ppk
      </Text>
      <Text x={x(0)} y={height - 10} palette={palette} tone="soft" anchor="middle">
        where the mean lies, in half tolerances
      </Text>
    </g>
  )
}

interface WhiskerProps {
  readonly point: LocationSpreadPoint
  readonly x: number
  readonly y: Place
  readonly palette: Palette
}

/** Interval of a characteristic's sigma. */
function Whisker({ point, x, y, palette }: WhiskerProps) {
  if (point.interval === null) return null
  return (
    <line
      x1={round(x)}
      x2={round(x)}
      y1={round(y(point.interval[1]))}
      y2={round(y(point.interval[0]))}
      stroke={point.summary.verdict === 'does not' ? palette.mark : palette.soft}
      stroke-opacity={0.45}
      stroke-width={2}
    />
  )
}

interface PointProps {
  readonly point: LocationSpreadPoint
  readonly place: { readonly x: number; readonly y: number }
  readonly label: PlacedLabel
  readonly palette: Palette
  readonly links: PointLinks | undefined
}

function Point({ point, place, label, palette, links }: PointProps) {
  const text = point.summary.characteristic.designator
  const fails = point.summary.verdict === 'does not'
  const drawn = (
    <g>
      {label.apart && (
        <line
          x1={round(place.x)}
          y1={round(place.y)}
          x2={round(label.x + textWidth(text, SIZE) / 2)}
          y2={round(label.y - 4)}
          stroke={palette.faint}
        />
      )}
      <VerdictMark x={place.x} y={place.y} verdict={point.summary.verdict} palette={palette} />
      <Text x={label.x} y={label.y} palette={palette} tone={fails ? 'mark' : 'ink'} strong={fails}>
        {text}
      </Text>
    </g>
  )
  if (links === undefined) return drawn
  const href = links.hrefOf(text)
  return (
    <a
      href={href}
      aria-label={characteristicTitle(point.summary.characteristic)}
      onClick={(event) => links.follow(event, href)}
    >
      {/* As large as a finger or a shaky pointer needs it: WCAG 2.2, 2.5.8. */}
      <rect
        x={round(place.x - TARGET / 2)}
        y={round(place.y - TARGET / 2)}
        width={TARGET}
        height={TARGET}
        fill="transparent"
      />
      {drawn}
    </a>
  )
}
