import { scaleLinear } from 'd3'
import type { Limits } from '../capability/indices.ts'
import type { Palette } from './palette.ts'
import { round } from './text.tsx'

export interface ValueInLimitsProps {
  readonly value: number
  /** At least one of them, in the unit of the value. */
  readonly limits: Limits
  /** Expanded uncertainty of the value, drawn to both sides; null where it is not known. */
  readonly expanded: number | null
  /** Mean and standard deviation of what it was made with, drawn behind it two deviations wide. */
  readonly among: { readonly mean: number; readonly deviation: number | null }
  readonly outside: boolean
  readonly width: number
  readonly height: number
  readonly palette: Palette
}

const PAD = 8
/** Share of the width that is left beyond each limit. */
const BEYOND = 0.15

/** One value between its limits, over those that it was made with; values far beyond a limit are drawn at the edge. */
export function ValueInLimits(props: ValueInLimitsProps) {
  const { value, limits, expanded, among, outside, width, height, palette } = props
  const [low, high] = ends(props)
  const room = BEYOND * (width - 2 * PAD)
  const scale = scaleLinear([low, high], [PAD + room, width - PAD - room])
  // Where the band begins at zero, nothing lies below it.
  const least = limits.lower === null && low === 0 ? 0 : Number.NEGATIVE_INFINITY
  const x = (at: number) => round(Math.min(width - PAD, Math.max(PAD, scale(at))))
  const y = height / 2
  const colour = outside ? palette.mark : palette.ink
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="presentation">
      <rect x={x(low)} y={y - 6} width={round(x(high) - x(low))} height={12} fill={palette.wash} />
      {among.deviation !== null && (
        <line
          x1={x(Math.max(least, among.mean - 2 * among.deviation))}
          x2={x(among.mean + 2 * among.deviation)}
          y1={y + 4}
          y2={y + 4}
          stroke={palette.faint}
          stroke-width={3}
        />
      )}
      {[limits.lower, limits.upper].map(
        (limit, side) =>
          limit !== null && (
            <line
              key={side === 0 ? 'lower' : 'upper'}
              x1={x(limit)}
              x2={x(limit)}
              y1={y - 8}
              y2={y + 8}
              stroke={palette.mark}
            />
          ),
      )}
      {expanded !== null && expanded > 0 && (
        <line x1={x(value - expanded)} x2={x(value + expanded)} y1={y - 2} y2={y - 2} stroke={colour} />
      )}
      <circle cx={x(value)} cy={y - 2} r={3.5} fill={colour} />
    </svg>
  )
}

/** What the band reaches over: both limits or, where one is missing, from it to beyond all that is drawn. */
function ends({ value, limits, among }: ValueInLimitsProps): [number, number] {
  const { lower, upper } = limits
  if (lower !== null && upper !== null && lower < upper) return [lower, upper]
  const limit = (lower ?? upper) as number
  // Deviations of form and place have no lower limit because none of them is below zero.
  if (lower === null && limit > 0 && value >= 0) return [0, limit]
  const reach = Math.max(Math.abs(value - limit), Math.abs(among.mean - limit), Number.MIN_VALUE) * 1.5
  return upper === null ? [limit, limit + reach] : [limit - reach, limit]
}
