import { type ScaleLinear, scaleLinear } from 'd3'
import { formatNumber } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

/** Limits of single parts; either may be absent. */
export interface DrawnLimits {
  readonly lower: number | null
  readonly upper: number | null
}

/** Values along x: the scale, and which limits lie within it. */
export interface ValueAxis {
  readonly x: ScaleLinear<number, number>
  readonly x0: number
  readonly x1: number
  readonly shown: readonly { readonly name: 'lower' | 'upper'; readonly value: number }[]
  readonly beyond: readonly { readonly name: 'lower' | 'upper'; readonly value: number }[]
}

/** A limit farther from the values than twice their range is named, not drawn: the values would shrink to a line. */
const FARTHEST = 2

/** The scale of a figure of single values, wide enough for the limits near them. */
export function valueAxis(min: number, max: number, limits: DrawnLimits, x0: number, x1: number): ValueAxis {
  const range = max - min
  const named = (['lower', 'upper'] as const).flatMap((name) => {
    const value = limits[name]
    return value === null ? [] : [{ name, value }]
  })
  const isNear = ({ value }: { value: number }) =>
    value >= min - FARTHEST * range && value <= max + FARTHEST * range
  const shown = named.filter(isNear)
  const low = Math.min(min, ...shown.map(({ value }) => value))
  const high = Math.max(max, ...shown.map(({ value }) => value))
  const pad = (high - low) * 0.04
  return {
    x: scaleLinear([low - pad, high + pad], [x0, x1]),
    x0,
    x1,
    shown,
    beyond: named.filter((limit) => !isNear(limit)),
  }
}

/** Ticks along the foot, as many as do not touch. */
export function ValueTicks({ axis, y, palette }: { axis: ValueAxis; y: number; palette: Palette }) {
  const { x, x0, x1 } = axis
  const places = (count: number) => {
    const format = x.tickFormat(count)
    return x.ticks(count).map((tick) => {
      const text = format(tick).replaceAll(',', '')
      const width = textWidth(text, SIZE)
      // Words keep within the axis.
      const middle = Math.max(x0 + width / 2, Math.min(x1 - width / 2, x(tick)))
      return { at: x(tick), middle, text, width }
    })
  }
  const clear = (ticks: ReturnType<typeof places>) =>
    ticks.every((tick, i) => {
      const next = ticks[i + 1]
      return next === undefined || tick.middle + tick.width / 2 + 10 < next.middle - next.width / 2
    })
  const ticks = [6, 5, 4, 3, 2, 1].map(places).find(clear) ?? []
  return (
    <g>
      <line x1={x0} x2={x1} y1={y} y2={y} stroke={palette.faint} />
      {ticks.map(({ at, middle, text }) => (
        <g key={text}>
          <line x1={round(at)} x2={round(at)} y1={y} y2={y + 4} stroke={palette.faint} />
          <Text x={middle} y={y + 16} palette={palette} tone="soft" anchor="middle">
            {text}
          </Text>
        </g>
      ))}
    </g>
  )
}

/** The limits as lines, with name and value above them; those far away are named at their edge. */
export function LimitLines({
  axis,
  top,
  bottom,
  decimals,
  palette,
}: {
  axis: ValueAxis
  top: number
  bottom: number
  decimals: number
  palette: Palette
}) {
  const { x, x0, x1, shown, beyond } = axis
  const labels = [
    ...shown.map(({ name, value }) => ({
      name,
      at: x(value),
      text: `${name} ${formatNumber(value, decimals)}`,
    })),
    ...beyond.map(({ name, value }) => ({
      name,
      at: name === 'lower' ? x0 : x1,
      text:
        name === 'lower'
          ? `lower ${formatNumber(value, decimals)}, farther left`
          : `upper ${formatNumber(value, decimals)}, farther right`,
    })),
  ].map((label) => {
    const width = textWidth(label.text, SIZE)
    return { ...label, width, from: Math.max(x0, Math.min(x1 - width, label.at - width / 2)) }
  })
  const lower = labels.find(({ name }) => name === 'lower')
  const upper = labels.find(({ name }) => name === 'upper')
  const touch = lower !== undefined && upper !== undefined && lower.from + lower.width + 8 > upper.from
  return (
    <g>
      {shown.map(({ name, value }) => (
        <line
          key={name}
          x1={round(x(value))}
          x2={round(x(value))}
          y1={top}
          y2={bottom}
          stroke={palette.mark}
          stroke-dasharray="10 3 2 3"
        />
      ))}
      {labels.map(({ name, text, from }) => (
        <Text
          key={name}
          x={from}
          y={touch && name === 'lower' ? top - 18 : top - 4}
          palette={palette}
          tone="mark"
        >
          {text}
        </Text>
      ))}
    </g>
  )
}

/** Room above the plotting area for the names of limits. */
export const LIMIT_ROOM = 34
