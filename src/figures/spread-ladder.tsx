import { scaleLinear } from 'd3'
import type { StudyFigure } from '../gauges/study-model.ts'
import { formatNumber } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

/** One component of a gauge study as a standard deviation with its limits. */
export interface LadderRow {
  readonly name: string
  readonly sd: StudyFigure
  /** The gauge itself stands out among the rest. */
  readonly strong: boolean
}

interface SpreadLadderProps {
  readonly rows: readonly LadderRow[]
  /** Standard deviations at which the gauge takes a tenth and three tenths of the tolerance; null without one. */
  readonly bounds: readonly [number, number] | null
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const HEAD = 40
const ROW = 40
const FOOT = 38

/** What is spread by what: components of a study one below the other on one scale, each with its interval. */
export function SpreadLadder({ rows, bounds, unit, decimals, width, palette, label }: SpreadLadderProps) {
  const narrow = width < 620
  const left = narrow ? 2 : 176
  const right = width - (narrow ? 14 : 226)
  const height = HEAD + rows.length * ROW + FOOT
  const bottom = height - FOOT
  const most = Math.max(...rows.map(({ sd }) => sd.value))
  const shownBounds = (bounds ?? []).filter((bound) => bound <= 2.2 * most)
  // An upper limit far off would press everything else to the left: it runs out of the figure, and is told in words.
  const reach = Math.max(
    1.15 * most,
    ...shownBounds.map((bound) => 1.1 * bound),
    ...rows.flatMap(({ sd }) => (sd.upper !== null && sd.upper <= 2.4 * most ? [1.05 * sd.upper] : [])),
  )
  const x = scaleLinear([0, reach], [left, right])
  const named = shownBounds.map((bound) => ({
    at: x(bound),
    text: `${bound === bounds?.[0] ? 'a tenth' : 'three tenths'} of the tolerance`,
  }))
  const wide = named.map(({ text }) => textWidth(text, SIZE))
  const [first, second] = named
  const touch =
    first !== undefined &&
    second !== undefined &&
    second.at - first.at < ((wide[0] ?? 0) + (wide[1] ?? 0)) / 2 + 12
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {named.map(({ at, text }, i) => (
        <g key={text}>
          <path
            // Where names stand above the bars, the line is left out behind them.
            d={
              narrow
                ? rows.map((_, k) => `M${round(at)} ${HEAD + k * ROW + 18}v16`).join('')
                : `M${round(at)} ${HEAD - 6}V${bottom}`
            }
            fill="none"
            stroke={palette.mark}
            stroke-dasharray={narrow ? undefined : '10 3 2 3'}
          />
          <Text
            x={Math.max(left + (wide[i] ?? 0) / 2, Math.min(width - (wide[i] ?? 0) / 2, at))}
            y={touch && i === 0 ? 12 : 28}
            palette={palette}
            tone="mark"
            anchor="middle"
          >
            {text}
          </Text>
        </g>
      ))}
      {rows.map(({ name, sd, strong }, i) => {
        const y = HEAD + i * ROW + (narrow ? 26 : 20)
        const end = sd.upper === null || sd.upper > reach ? right : x(sd.upper)
        const out = sd.upper === null || sd.upper > reach
        const text = figureText(sd, decimals)
        return (
          <g key={name}>
            <Text
              x={0}
              y={narrow ? y - 11 : y + 4}
              palette={palette}
              strong={strong}
              tone={strong ? 'ink' : 'soft'}
            >
              {name}
            </Text>
            <line x1={left} x2={right} y1={y} y2={y} stroke={palette.rule} />
            <path
              d={`M${round(x(sd.lower))} ${y}H${round(end)}${out ? `m-6 -4l6 4l-6 4` : ''}`}
              stroke={strong ? palette.ink : palette.faint}
              stroke-width={strong ? 3 : 2.4}
              fill="none"
            />
            <circle
              cx={round(x(sd.value))}
              cy={y}
              r={strong ? 5 : 4}
              fill={strong ? palette.ink : palette.paper}
              stroke={strong ? palette.paper : palette.soft}
              stroke-width={1.4}
            />
            <Text
              x={narrow ? width : right + 14}
              y={narrow ? y - 11 : y + 4}
              palette={palette}
              anchor={narrow ? 'end' : 'start'}
              strong={strong}
              tone={strong ? 'ink' : 'soft'}
            >
              {text}
            </Text>
          </g>
        )
      })}
      <line x1={left} x2={right} y1={bottom} y2={bottom} stroke={palette.faint} />
      {x.ticks(narrow ? 4 : 6).map((tick) => (
        <g key={tick}>
          <line x1={round(x(tick))} x2={round(x(tick))} y1={bottom} y2={bottom + 4} stroke={palette.faint} />
          <Text
            x={x(tick)}
            y={bottom + 16}
            palette={palette}
            tone="soft"
            anchor={tick === 0 ? 'start' : 'middle'}
            size={11}
          >
            {String(Number(tick.toPrecision(6)))}
          </Text>
        </g>
      ))}
      <Text x={(left + right) / 2} y={height - 4} palette={palette} tone="soft" anchor="middle">
        {`standard deviation, ${unit}`}
      </Text>
    </svg>
  )
}

function figureText({ value, lower, upper }: StudyFigure, decimals: number): string {
  const to = upper === null ? 'no upper limit' : formatNumber(upper, decimals)
  return `${formatNumber(value, decimals)} (${formatNumber(lower, decimals)} to ${to})`
}
