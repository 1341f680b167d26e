import { line as lineShape, scaleLinear } from 'd3'
import type { BiasStudy } from '../gauges/bias.ts'
import { formatSigned } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'
import { ValueTicks } from './value-axis.tsx'
import { SignedGrid } from './value-grid.tsx'

interface BiasFigureProps {
  readonly study: BiasStudy
  readonly readings: readonly { readonly reference: number; readonly value: number }[]
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const HEIGHT = 310
const HEAD = 30
const FOOT = 42

/** Deviations from known values over the size, their means with intervals, and the line through them with its band. */
export function BiasFigure({ study, readings, unit, decimals, width, palette, label }: BiasFigureProps) {
  const { parts, linearity } = study
  const narrow = width < 620
  const left = narrow ? 50 : 64
  const right = width - (narrow ? 8 : 24)
  const bottom = HEIGHT - FOOT
  const offs = readings.map(({ reference, value }) => value - reference)
  const limits = [
    ...parts.flatMap(({ estimate }) => (estimate === null ? [] : [estimate.lower, estimate.upper])),
    ...(linearity?.line ?? []).flatMap(({ estimate }) => [estimate.lower, estimate.upper]),
  ]
  const low = Math.min(0, ...offs, ...limits)
  const high = Math.max(0, ...offs, ...limits)
  const pad = 0.06 * (high - low || 1)
  const y = scaleLinear([low - pad, high + pad], [bottom, HEAD])
  const sizes = parts.map(({ reference }) => reference)
  const [least, most] = [Math.min(...sizes), Math.max(...sizes)]
  const room = 0.06 * (most - least) || 1
  const x = scaleLinear([least - room, most + room], [left, right])
  const shape = lineShape<readonly [number, number]>(
    ([at]) => round(x(at)),
    ([, value]) => round(y(value)),
  )
  const line = linearity?.line ?? []
  const band = [
    ...line.map(({ reference, estimate }) => [reference, estimate.upper] as const),
    ...line.toReversed().map(({ reference, estimate }) => [reference, estimate.lower] as const),
  ]
  return (
    <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={label}>
      <Text x={0} y={13} palette={palette} tone="soft">
        {`reading less the known value, ${unit}`}
      </Text>
      {band.length > 0 && <path d={`${shape(band) ?? ''}Z`} fill={palette.wash} />}
      <SignedGrid y={y} x0={left} x1={right} decimals={decimals} count={6} palette={palette} />
      <line
        x1={left}
        x2={right}
        y1={round(y(0))}
        y2={round(y(0))}
        stroke={palette.faint}
        stroke-width={1.4}
      />
      {line.length > 0 && (
        <path
          d={shape(line.map(({ reference, estimate }) => [reference, estimate.value] as const)) ?? ''}
          fill="none"
          stroke={palette.ink}
        />
      )}
      {readings.map(({ reference }, i) => (
        <circle
          // Readings have no name of their own and never change places.
          key={i}
          cx={round(x(reference))}
          cy={round(y(offs[i] as number))}
          r={2}
          fill={palette.paper}
          stroke={palette.soft}
        />
      ))}
      {parts.map(({ reference, bias, estimate }) => (
        <g key={reference}>
          {estimate !== null && (
            <line
              x1={round(x(reference) + 7)}
              x2={round(x(reference) + 7)}
              y1={round(y(estimate.lower))}
              y2={round(y(estimate.upper))}
              stroke={palette.ink}
              stroke-width={2}
            />
          )}
          <circle
            cx={round(x(reference) + 7)}
            cy={round(y(bias))}
            r={4}
            fill={palette.ink}
            stroke={palette.paper}
          >
            <title>{`at ${reference}: ${formatSigned(bias, decimals)} ${unit}`}</title>
          </circle>
        </g>
      ))}
      <Text x={right} y={y(0) - 5} palette={palette} tone="soft" anchor="end" size={11}>
        no bias
      </Text>
      <ValueTicks axis={{ x, x0: left, x1: right, shown: [], beyond: [] }} y={bottom} palette={palette} />
      <Text x={(left + right) / 2} y={HEIGHT - 6} palette={palette} tone="soft" anchor="middle">
        {`known value, ${unit}`}
      </Text>
    </svg>
  )
}
