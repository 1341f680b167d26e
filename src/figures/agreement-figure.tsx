import { extent, scaleLinear } from 'd3'
import type { AgreementLimit, MethodAgreement } from '../gauges/method-agreement.ts'
import { formatSigned } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import { round, Text } from './text.tsx'
import { ValueTicks } from './value-axis.tsx'
import { SignedGrid } from './value-grid.tsx'

interface AgreementFigureProps {
  readonly pairs: readonly { readonly part: string; readonly first: number; readonly second: number }[]
  readonly agreement: MethodAgreement
  readonly gauges: readonly [string, string]
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const HEIGHT = 330
const HEAD = 34
const FOOT = 42

/** Differences of two gauges part by part over the size of the part, with mean, limits, and how sure these are. */
export function AgreementFigure(props: AgreementFigureProps) {
  const { pairs, agreement, gauges, unit, decimals, width, palette, label } = props
  const { difference, lowerLimit, upperLimit } = agreement
  const narrow = width < 620
  const left = narrow ? 50 : 64
  const right = width - (narrow ? 78 : 190)
  const bottom = HEIGHT - FOOT
  const points = pairs.map(({ part, first, second }) => ({
    part,
    size: (first + second) / 2,
    off: first - second,
  }))
  const low = Math.min(0, lowerLimit.lower, ...points.map(({ off }) => off))
  const high = Math.max(0, upperLimit.upper, ...points.map(({ off }) => off))
  const pad = 0.05 * (high - low)
  const y = scaleLinear([low - pad, high + pad], [bottom, HEAD])
  const [least = 0, most = 1] = extent(points, ({ size }) => size)
  const room = 0.05 * (most - least || 1)
  const x = scaleLinear([least - room, most + room], [left, right])
  const lines = [
    { name: narrow ? 'upper' : 'upper limit', limit: upperLimit },
    { name: narrow ? 'mean' : 'mean difference', limit: difference },
    { name: narrow ? 'lower' : 'lower limit', limit: lowerLimit },
  ] satisfies { name: string; limit: AgreementLimit }[]
  const places = spreadLabels(
    lines.map(({ limit }) => y(limit.value)),
    narrow ? 30 : 18,
    HEAD + 8,
    bottom - 8,
  )
  return (
    <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={label}>
      <Text x={0} y={13} palette={palette} tone="soft">
        {`${gauges[0]} less ${gauges[1]}, ${unit}`}
      </Text>
      {lines.map(({ name, limit }) => (
        <rect
          key={name}
          x={left}
          width={right - left}
          y={round(y(limit.upper))}
          height={round(y(limit.lower) - y(limit.upper))}
          fill={palette.wash}
        />
      ))}
      <SignedGrid y={y} x0={left} x1={right} decimals={decimals} count={6} palette={palette} />
      <line
        x1={left}
        x2={right}
        y1={round(y(0))}
        y2={round(y(0))}
        stroke={palette.faint}
        stroke-width={1.4}
      />
      {lines.map(({ name, limit }, i) => (
        <g key={name}>
          <line
            x1={left}
            x2={right}
            y1={round(y(limit.value))}
            y2={round(y(limit.value))}
            stroke={i === 1 ? palette.ink : palette.soft}
            stroke-dasharray={i === 1 ? undefined : '6 3'}
          />
          <path
            d={`M${round(right + 2)} ${round(y(limit.value))}L${round(right + 10)} ${round(places[i] as number)}`}
            fill="none"
            stroke={palette.soft}
          />
          <Text
            x={right + 14}
            y={(places[i] as number) + (narrow ? -2 : 4)}
            palette={palette}
            strong={i === 1}
          >
            {narrow ? name : `${name} ${formatSigned(limit.value, decimals)}`}
          </Text>
          {narrow && (
            <Text x={right + 14} y={(places[i] as number) + 12} palette={palette} strong={i === 1}>
              {formatSigned(limit.value, decimals)}
            </Text>
          )}
        </g>
      ))}
      {points.map(({ part, size, off }) => (
        <circle
          key={part}
          cx={round(x(size))}
          cy={round(y(off))}
          r={3.2}
          fill={palette.soft}
          stroke={palette.paper}
        >
          <title>{`part ${part}: ${formatSigned(off, decimals)} ${unit}`}</title>
        </circle>
      ))}
      <ValueTicks axis={{ x, x0: left, x1: right, shown: [], beyond: [] }} y={bottom} palette={palette} />
      <Text x={(left + right) / 2} y={HEIGHT - 6} palette={palette} tone="soft" anchor="middle">
        {`mean of the two, ${unit}`}
      </Text>
    </svg>
  )
}
