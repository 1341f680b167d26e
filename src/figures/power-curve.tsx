import { line as lineShape, scaleLinear, scaleLog } from 'd3'
import { formatNumber } from '../words/format.ts'
import { buildsText } from '../words/test-power-words.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

/** Builds until a signal, on average, under a shift in the unit of the characteristic. */
export interface PowerPoint {
  readonly shift: number
  readonly builds: number
}

interface PowerCurveProps {
  /** Ascending in shift. */
  readonly points: readonly PowerPoint[]
  /** The shift asked about. */
  readonly chosen: PowerPoint | null
  readonly reach: number
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const MARGIN = { left: 62, right: 20, top: 30, bottom: 44 }
const HEIGHT = 300
const MOST = 100_000

/** Builds until a signal against the size of a shift; the left end is the distance between false alarms. */
export function PowerCurve({
  points,
  chosen,
  reach,
  unit,
  decimals,
  width,
  palette,
  label,
}: PowerCurveProps) {
  const x = scaleLinear([0, reach], [MARGIN.left, width - MARGIN.right])
  const highest = Math.max(100, ...points.map(({ builds }) => Math.min(MOST, builds)))
  const y = scaleLog([1, highest * 1.3], [HEIGHT - MARGIN.bottom, MARGIN.top]).clamp(true)
  const d = lineShape<PowerPoint>(
    ({ shift }) => round(x(shift)),
    ({ builds }) => round(y(builds)),
  )(points.filter(({ builds }) => Number.isFinite(builds)))
  const ticks = [1, 3, 10, 30, 100, 300, 1000, 10_000, 100_000].filter((tick) => tick <= highest * 1.3)
  const text = chosen === null ? '' : `${buildsText(chosen.builds)} builds`
  const right = chosen !== null && x(chosen.shift) + 12 + textWidth(text, SIZE) > width - MARGIN.right
  return (
    <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={label}>
      <Text x={0} y={14} palette={palette} tone="soft">
        builds until a signal, on average
      </Text>
      {ticks.map((tick) => (
        <g key={tick}>
          <line
            x1={MARGIN.left}
            x2={width - MARGIN.right}
            y1={round(y(tick))}
            y2={round(y(tick))}
            stroke={palette.rule}
          />
          <Text x={MARGIN.left - 8} y={y(tick) + 4} palette={palette} tone="soft" anchor="end">
            {buildsText(tick).replace('.0', '')}
          </Text>
        </g>
      ))}
      {x.ticks(width < 560 ? 3 : 6).map((tick) => (
        <Text
          key={tick}
          x={x(tick)}
          y={HEIGHT - MARGIN.bottom + 18}
          palette={palette}
          tone="soft"
          anchor="middle"
        >
          {tick === 0 ? 'no shift' : formatNumber(tick, decimals)}
        </Text>
      ))}
      <Text
        x={(MARGIN.left + width - MARGIN.right) / 2}
        y={HEIGHT - 6}
        palette={palette}
        tone="soft"
        anchor="middle"
      >
        {`shift of the mean, ${unit}`}
      </Text>
      {d !== null && <path d={d} fill="none" stroke={palette.ink} stroke-width={1.5} />}
      {chosen !== null && Number.isFinite(chosen.builds) && (
        <g>
          <line
            x1={round(x(chosen.shift))}
            x2={round(x(chosen.shift))}
            y1={round(y(chosen.builds))}
            y2={HEIGHT - MARGIN.bottom}
            stroke={palette.soft}
          />
          <circle
            cx={round(x(chosen.shift))}
            cy={round(y(chosen.builds))}
            r={4.5}
            fill={palette.ink}
            stroke={palette.paper}
          />
          <Text
            x={x(chosen.shift) + (right ? -10 : 10)}
            y={y(chosen.builds) - 8}
            palette={palette}
            anchor={right ? 'end' : 'start'}
            strong
          >
            {text}
          </Text>
        </g>
      )}
    </svg>
  )
}
