import { line as lineShape, scaleLinear } from 'd3'
import { distributionFunctions, type FittedDistribution } from '../capability/fitted-distribution.ts'
import type { BandPoint } from '../capability/plot-band.ts'
import { plottedShares } from '../description/binned-values.ts'
import { normalQuantile, normalUpperQuantile } from '../distributions/normal.ts'
import type { ValuesFigureProps } from './histogram.tsx'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'
import { LIMIT_ROOM, LimitLines, ValueTicks, valueAxis } from './value-axis.tsx'

const CURVE_POINTS = 80
const FOOT = 36
const GUTTER = 46
/** Percent below, at which the upright scale is marked, the first ones before the others. */
const MARKED = [50, 1, 99, 10, 90, 0.1, 99.9, 0.01, 99.99]
const TICK_ROOM = 13

interface ProbabilityPlotProps extends ValuesFigureProps {
  /** Where points may lie by chance; none without it. */
  readonly band?: readonly BandPoint[]
}

/**
 * Shares of the values below each value on the scale of the normal distribution, where a normal distribution is a
 * straight line; the line is the distribution that the values are judged by.
 */
export function ProbabilityPlot(props: ProbabilityPlotProps) {
  const { values, distribution, limits, decimals, unit, width, height, palette, label, band = [] } = props
  const points = plottedShares(values).map(({ value, below, above }) => ({
    value,
    z: score(below, above),
  }))
  const last = points.at(-1)
  const axis = valueAxis(points[0]?.value ?? 0, last?.value ?? 1, limits, GUTTER, width - 4)
  const bottom = height - FOOT
  const reach = 1.06 * Math.max(2, ...points.map(({ z }) => Math.abs(z)))
  const y = scaleLinear([-reach, reach], [bottom, LIMIT_ROOM])
  const shape = lineShape<readonly [number, number]>(
    ([x]) => round(axis.x(x)),
    ([, z]) => round(y(z)),
  )
  const ticks: { readonly percent: number; readonly z: number }[] = []
  for (const percent of MARKED) {
    const z = normalQuantile(percent / 100)
    const touches = ticks.some((tick) => Math.abs(y(tick.z) - y(z)) < TICK_ROOM)
    if (Math.abs(z) < reach && !touches) ticks.push({ percent, z })
  }
  const [left, right] = axis.x.domain() as [number, number]
  // Ends far out would be drawn far outside the figure.
  const inside = (value: number) => Math.max(left, Math.min(right, value))
  const ends = band.map(({ below, above, low, high }) => {
    const z = score(below, above)
    return { low: [inside(low), z] as const, high: [inside(high), z] as const }
  })
  const edge = [...ends.map(({ low }) => low), ...ends.map(({ high }) => high).reverse()]
  const full = `share of values below, against the value, ${unit}`
  const caption = textWidth(full, SIZE) <= width ? full : `share below, by value, ${unit}`
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {edge.length > 0 && <path d={`${shape(edge)}z`} fill={palette.wash} />}
      {ticks.map(({ percent, z }) => (
        <g key={percent}>
          <line x1={GUTTER} x2={width - 4} y1={round(y(z))} y2={round(y(z))} stroke={palette.rule} />
          <Text x={GUTTER - 5} y={y(z) + 4} palette={palette} tone="soft" anchor="end" size={11}>
            {`${percent} %`}
          </Text>
        </g>
      ))}
      {distribution !== null && (
        <path
          d={shape(linePoints(distribution, axis.x.domain(), reach)) ?? ''}
          fill="none"
          stroke={palette.ink}
          stroke-width={1.2}
        />
      )}
      <path
        d={dots(points.map(({ value, z }) => [axis.x(value), y(z)]))}
        fill={palette.paper}
        stroke={palette.soft}
        stroke-width={0.9}
      />
      <LimitLines axis={axis} top={LIMIT_ROOM} bottom={bottom} decimals={decimals} palette={palette} />
      <ValueTicks axis={axis} y={bottom} palette={palette} />
      <Text
        x={Math.min((GUTTER + width) / 2, width - textWidth(caption, SIZE) / 2)}
        y={height - 4}
        palette={palette}
        tone="soft"
        anchor="middle"
      >
        {caption}
      </Text>
    </svg>
  )
}

/** Points nearer to the one before than this many pixels would be drawn on top of it. */
const LEAST_APART = 1.2

/** Small lozenges, in one path that holds them all. */
function dots(places: readonly (readonly [x: number, y: number])[]): string {
  let path = ''
  let [lastX, lastY] = [Number.NEGATIVE_INFINITY, 0]
  for (const [i, [x, y]] of places.entries()) {
    const isEnd = i === places.length - 1
    if (!isEnd && Math.hypot(x - lastX, y - lastY) < LEAST_APART) continue
    path += `M${round(x)} ${round(y - 2)}l2 2l-2 2l-2 -2z`
    ;[lastX, lastY] = [x, y]
  }
  return path
}

/** The smaller share is the one that keeps its digits. */
function score(below: number, above: number): number {
  return below < above ? normalQuantile(below) : normalUpperQuantile(above)
}

function linePoints(
  distribution: FittedDistribution,
  domain: readonly number[],
  reach: number,
): (readonly [number, number])[] {
  const [low, high] = domain as readonly [number, number]
  const { lower, upper } = distributionFunctions(distribution)
  const points: (readonly [number, number])[] = []
  for (let i = 0; i <= CURVE_POINTS; i++) {
    const x = low + ((high - low) * i) / CURVE_POINTS
    const [below, above] = [lower(x), upper(x)]
    if (below === 0 || above === 0) continue
    const z = score(below, above)
    if (Math.abs(z) <= reach) points.push([x, z])
  }
  return points
}
