import { scaleLinear } from 'd3'
import type { IndexEstimate } from '../capability/index-estimate.ts'
import type { Verdict } from '../capability/summary.ts'
import { formatNumber } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

/** The scale that all index marks of a table share, from zero at the least to well beyond what is required. */
export interface IndexScale {
  readonly width: number
  readonly ticks: readonly number[]
  x(index: number): number
  /** Indices beyond, or below zero, are drawn at the edge; their figures stand beside. */
  readonly max: number
}

const PAD = 12

export function indexScale(estimates: readonly IndexEstimate[], required: number, width: number): IndexScale {
  const highest = Math.max(
    required * 1.4,
    ...estimates.map((estimate) => Math.min(estimate.upper, required * 1.7)),
  )
  const lowest = Math.min(required * 0.5, ...estimates.map((estimate) => Math.max(estimate.lower, 0)))
  const scale = scaleLinear([lowest, highest], [PAD, width - PAD]).clamp(true)
  return { width, ticks: scale.ticks(3), x: (index) => scale(index), max: highest }
}

/** Heading of the column: ticks, and the required index where its line begins. */
export function IndexAxis({
  scale,
  required,
  palette,
}: {
  scale: IndexScale
  required: number
  palette: Palette
}) {
  const text = formatNumber(required, 2)
  const half = textWidth(text, SIZE) / 2 + 14
  return (
    <svg width={scale.width} height={24} viewBox={`0 0 ${scale.width} 24`} role="presentation">
      {scale.ticks
        .filter((tick) => Math.abs(scale.x(tick) - scale.x(required)) > half)
        .map((tick) => (
          <Text key={tick} x={scale.x(tick)} y={14} palette={palette} tone="soft" anchor="middle">
            {String(tick)}
          </Text>
        ))}
      <Text x={scale.x(required)} y={14} palette={palette} anchor="middle" strong>
        {text}
      </Text>
      <line
        x1={round(scale.x(required))}
        x2={round(scale.x(required))}
        y1={18}
        y2={24}
        stroke={palette.ink}
      />
    </svg>
  )
}

interface IndexMarkProps {
  readonly estimate: IndexEstimate | null
  readonly verdict: Verdict | null
  readonly required: number
  readonly scale: IndexScale
  readonly height: number
  readonly palette: Palette
}

/** One row of the table: the index with its interval against the required line. */
export function IndexMark({ estimate, verdict, required, scale, height, palette }: IndexMarkProps) {
  const y = height / 2
  const at = round(scale.x(required))
  return (
    <svg width={scale.width} height={height} viewBox={`0 0 ${scale.width} ${height}`} role="presentation">
      <line x1={at} x2={at} y1={0} y2={height} stroke={palette.ink} />
      {estimate !== null && (
        <g>
          <line
            x1={round(scale.x(estimate.lower))}
            x2={round(scale.x(estimate.upper))}
            y1={y}
            y2={y}
            stroke={verdict === 'does not' ? palette.mark : palette.soft}
            stroke-opacity={0.45}
            stroke-width={4}
          />
          {estimate.upper > scale.max && (
            <path d={`M${scale.width - PAD + 6} ${y - 4}l5 4l-5 4z`} fill={palette.soft} />
          )}
          <VerdictMark x={scale.x(estimate.value)} y={y} verdict={verdict} palette={palette} />
        </g>
      )}
    </svg>
  )
}

/** The mark of a verdict: filled disc holds, open disc not yet sure, filled diamond does not. */
export function VerdictMark({
  x,
  y,
  verdict,
  palette,
}: {
  x: number
  y: number
  verdict: Verdict | null
  palette: Palette
}) {
  if (verdict === 'does not') {
    return (
      <path
        d={`M${round(x)} ${round(y - 5.5)}l5.5 5.5l-5.5 5.5l-5.5 -5.5z`}
        fill={palette.mark}
        stroke={palette.paper}
      />
    )
  }
  const open = verdict === 'not yet sure'
  return (
    <circle
      cx={round(x)}
      cy={round(y)}
      r={4.5}
      fill={open ? palette.paper : palette.soft}
      stroke={open ? palette.ink : palette.paper}
      stroke-width={open ? 1.5 : 1}
    />
  )
}
