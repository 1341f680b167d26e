import { line as lineShape, scaleLinear } from 'd3'
import { distributionFunctions, type FittedDistribution } from '../capability/fitted-distribution.ts'
import { type BinnedValues, barsOf } from '../description/binned-values.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'
import { type DrawnLimits, LIMIT_ROOM, LimitLines, ValueTicks, valueAxis } from './value-axis.tsx'

export interface ValuesFigureProps {
  readonly values: BinnedValues
  /** Drawn as a curve; null for none. */
  readonly distribution: FittedDistribution | null
  readonly limits: DrawnLimits
  /** Decimals of the limits. */
  readonly decimals: number
  readonly unit: string
  readonly width: number
  readonly height: number
  readonly palette: Palette
  readonly label: string
}

const CURVE_POINTS = 120
const FOOT = 36

/** How often values came, with the distribution that they are judged by and the limits of single parts. */
export function Histogram(props: ValuesFigureProps) {
  const { values, distribution, limits, decimals, unit, width, height, palette, label } = props
  const bars = barsOf(values)
  const from = bars[0]?.from ?? 0
  const to = bars.at(-1)?.to ?? 1
  const axis = valueAxis(from, to, limits, 4, width - 4)
  const bottom = height - FOOT
  const curve = distribution === null ? [] : curvePoints(distribution, values, bars, axis.x.domain())
  const most = Math.max(...bars.map(({ count }) => count), ...curve.map(([, count]) => count))
  const y = scaleLinear([0, most * 1.05], [bottom, LIMIT_ROOM])
  const shape = lineShape<readonly [number, number]>(
    ([x]) => round(axis.x(x)),
    ([, count]) => round(y(count)),
  )
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {bars.map((bar) =>
        bar.count === 0 ? null : (
          <rect
            key={bar.from}
            x={round(axis.x(bar.from))}
            y={round(y(bar.count))}
            width={round(axis.x(bar.to) - axis.x(bar.from))}
            height={round(bottom - y(bar.count))}
            fill={palette.wash}
            stroke={palette.faint}
            stroke-width={0.8}
          />
        ),
      )}
      {curve.length > 0 && (
        <path d={shape([...curve]) ?? ''} fill="none" stroke={palette.ink} stroke-width={1.4} />
      )}
      <LimitLines axis={axis} top={LIMIT_ROOM} bottom={bottom} decimals={decimals} palette={palette} />
      <ValueTicks axis={axis} y={bottom} palette={palette} />
      <Text x={width / 2} y={height - 4} palette={palette} tone="soft" anchor="middle">
        {`single values, ${unit}`}
      </Text>
    </svg>
  )
}

/** Counts to a bar that the distribution gives. */
function curvePoints(
  distribution: FittedDistribution,
  { n }: BinnedValues,
  bars: ReturnType<typeof barsOf>,
  domain: readonly number[],
): (readonly [number, number])[] {
  const bar = bars[0]
  const [low, high] = domain
  if (bar === undefined || low === undefined || high === undefined) return []
  const { density } = distributionFunctions(distribution)
  const points: (readonly [number, number])[] = []
  for (let i = 0; i <= CURVE_POINTS; i++) {
    const x = low + ((high - low) * i) / CURVE_POINTS
    const count = density(x) * n * (bar.to - bar.from)
    if (Number.isFinite(count)) points.push([x, count])
  }
  return points
}
