import { line as lineShape, scaleLinear } from 'd3'
import type { SlowChart } from '../charts/slow-change.ts'
import { formatSigned } from '../words/format.ts'
import { buildLabels } from './build-scale.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import { BuildNames } from './strip.tsx'
import { round, SIZE, Text } from './text.tsx'
import { textWidth, wrapText } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

interface SlowFigureProps {
  readonly slow: SlowChart
  /** Where each subgroup stands on the timeline, ascending. */
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  /** Names of the builds of the timeline. */
  readonly buildNames: readonly string[]
  readonly palette: Palette
  readonly label: string | null
}

const HEIGHT = 200
const HEAD = 22
const FOOT = 24

type Values = readonly (number | null)[]

/** A running average or running sums with their limits, what is outside drawn in the colour of its side. */
export function SlowFigure({ slow, positions, layout, buildNames, palette, label }: SlowFigureProps) {
  const { scale, width, room } = layout
  const narrow = room === 'narrow'
  const top = HEAD + (narrow ? 18 : 0)
  const bottom = top + HEIGHT
  const height = bottom + FOOT
  const shown = positions.flatMap((position, i) => (scale.inView(position) ? [i] : []))
  const seen = [slow.above, slow.below ?? [], slow.upper, slow.lower].flatMap((values) =>
    shown.flatMap((i) => (typeof values[i] === 'number' ? [values[i] as number] : [])),
  )
  const [low, high] = [Math.min(0, ...seen), Math.max(1e-9, ...seen)]
  const air = (high - low) * 0.06
  const y = scaleLinear([low - air, high + air], [bottom, top])
  const x = (i: number) => scale.centre(positions[i] as number)
  const radius = Math.max(1.3, Math.min(3, scale.step * 0.22))
  const last = shown.at(-1)
  const title =
    slow.below === null ? 'running average of the build’s means' : 'running sums of the build’s means'
  const full = `${title}, standard errors`
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: named by aria-label, or by the element around it
    <svg
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      {...(label === null ? { 'aria-hidden': true } : { role: 'img', 'aria-label': label })}
    >
      {narrow ? (
        <Text x={0} y={12} palette={palette}>
          {title}
        </Text>
      ) : (
        wrapText(full, SIZE, scale.x0 - 14).map((text, i) => (
          <Text key={text} x={0} y={top + 10 + i * 16} palette={palette}>
            {text}
          </Text>
        ))
      )}
      <line x1={scale.x0} x2={round(scale.x1)} y1={round(y(0))} y2={round(y(0))} stroke={palette.faint} />
      {[slow.upper, slow.lower].map((values, k) => (
        <path
          key={k === 0 ? 'upper' : 'lower'}
          d={stepped(values, shown, positions, scale, y)}
          fill="none"
          stroke={palette.soft}
        />
      ))}
      {slow.signals.map((signal) => {
        const inside = shown.filter((i) => i >= signal.from && i <= signal.to)
        const [first, end] = [inside[0], inside.at(-1)]
        if (first === undefined || end === undefined) return null
        const colour = signal.side === 'above' ? palette.over : palette.under
        return (
          <rect
            key={`${signal.side} ${signal.from}`}
            x={round(scale.start(positions[first] as number))}
            width={round(scale.end(positions[end] as number) - scale.start(positions[first] as number))}
            y={round(top)}
            height={HEIGHT}
            fill={colour}
            fill-opacity={0.1}
          />
        )
      })}
      {[slow.above, slow.below].map((values, k) =>
        values === null ? null : (
          <Series
            key={k === 0 ? 'above' : 'below'}
            values={values}
            upper={slow.upper}
            lower={slow.lower}
            shown={shown}
            x={x}
            y={y}
            radius={radius}
            palette={palette}
          />
        ),
      )}
      <SignalNames
        slow={slow}
        shown={shown}
        positions={positions}
        layout={layout}
        y={top - 7}
        palette={palette}
      />
      {last !== undefined && (
        <LimitNames
          upper={slow.upper[last] ?? null}
          lower={slow.lower[last] ?? null}
          y={y}
          layout={layout}
          palette={palette}
        />
      )}
      <BuildNames
        labels={buildLabels(scale, (position) => buildNames[position] ?? '', [], SIZE)}
        y={height - 6}
        palette={palette}
      />
    </svg>
  )
}

function stepped(
  values: Values,
  shown: readonly number[],
  positions: readonly number[],
  scale: TimelineLayout['scale'],
  y: (value: number) => number,
): string {
  let path = ''
  let before = false
  for (const [k, i] of shown.entries()) {
    const value = values[i]
    if (typeof value !== 'number') {
      before = false
      continue
    }
    const next = shown[k + 1]
    const end =
      next === undefined ? scale.end(positions[i] as number) : scale.start(positions[next] as number)
    path += before
      ? `V${round(y(value))}`
      : `M${round(scale.start(positions[i] as number))} ${round(y(value))}`
    path += `H${round(end)}`
    before = true
  }
  return path
}

interface SeriesProps {
  readonly values: Values
  readonly upper: Values
  readonly lower: Values
  readonly shown: readonly number[]
  x(i: number): number
  y(value: number): number
  readonly radius: number
  readonly palette: Palette
}

function Series({ values, upper, lower, shown, x, y, radius, palette }: SeriesProps) {
  const points = shown.flatMap((i): [number, number, number][] => {
    const value = values[i]
    return typeof value === 'number' ? [[i, round(x(i)), round(y(value))]] : []
  })
  const d = lineShape<[number, number, number]>(
    ([, at]) => at,
    ([, , height]) => height,
  )(points)
  return (
    <g>
      {d !== null && <path d={d} fill="none" stroke={palette.faint} />}
      {points.map(([i, cx, cy]) => {
        const value = values[i] as number
        const over = typeof upper[i] === 'number' && value > (upper[i] as number)
        const under = typeof lower[i] === 'number' && value < (lower[i] as number)
        const colour = over ? palette.over : under ? palette.under : palette.soft
        return (
          <circle
            key={i}
            cx={cx}
            cy={cy}
            r={round(over || under ? radius + 0.6 : radius)}
            fill={over ? palette.paper : colour}
            stroke={over ? colour : palette.paper}
            stroke-width={over ? 1.5 : 1}
          />
        )
      })}
    </g>
  )
}

interface SignalNamesProps {
  readonly slow: SlowChart
  readonly shown: readonly number[]
  readonly positions: readonly number[]
  readonly layout: TimelineLayout
  readonly y: number
  readonly palette: Palette
}

/** The build that each run outside begins with, where there is room. */
function SignalNames({ slow, shown, positions, layout, y, palette }: SignalNamesProps) {
  const { scale } = layout
  let free = scale.x0
  return (
    <g>
      {slow.signals.map((signal) => {
        const first = shown.find((i) => i >= signal.from && i <= signal.to)
        if (first === undefined) return null
        const text = signal.side === 'above' ? 'above' : 'below'
        const wide = textWidth(text, SIZE)
        const x = Math.min(scale.x1 - wide, scale.start(positions[first] as number))
        if (x < free) return null
        free = x + wide + 8
        return (
          <Text key={`${signal.side} ${signal.from}`} x={x} y={y} palette={palette}>
            {text}
          </Text>
        )
      })}
    </g>
  )
}

interface LimitNamesProps {
  readonly upper: number | null
  readonly lower: number | null
  y(value: number): number
  readonly layout: TimelineLayout
  readonly palette: Palette
}

function LimitNames({ upper, lower, y, layout, palette }: LimitNamesProps) {
  if (upper === null || lower === null) return null
  const { scale, width, room } = layout
  const places = spreadLabels([y(upper), y(lower)], 15, 0, Number.POSITIVE_INFINITY)
  return (
    <g>
      {[upper, lower].map((value, i) => (
        <g key={i === 0 ? 'upper' : 'lower'}>
          {room !== 'narrow' && (
            <Text x={scale.x1 + 14} y={(places[i] as number) + 4} palette={palette} tone="soft">
              {i === 0 ? 'upper limit' : 'lower limit'}
            </Text>
          )}
          <Text x={width} y={(places[i] as number) + 4} palette={palette} anchor="end">
            {formatSigned(value, 2)}
          </Text>
        </g>
      ))}
    </g>
  )
}
