import type { ScaleLinear } from 'd3'
import { formatSigned } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'

/** Hairlines of an upright scale of signed values from x0 to x1, each with its value at the left. */
export function SignedGrid({
  y,
  x0,
  x1,
  decimals,
  count,
  palette,
}: {
  readonly y: ScaleLinear<number, number>
  readonly x0: number
  readonly x1: number
  readonly decimals: number
  readonly count: number
  readonly palette: Palette
}) {
  return (
    <g>
      {y.ticks(count).map((tick) => (
        <g key={tick}>
          <line x1={x0} x2={x1} y1={round(y(tick))} y2={round(y(tick))} stroke={palette.rule} />
          <Text x={x0 - 6} y={y(tick) + 4} palette={palette} tone="soft" anchor="end" size={11}>
            {formatSigned(tick, decimals)}
          </Text>
        </g>
      ))}
    </g>
  )
}
