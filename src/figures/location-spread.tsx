import { scaleLinear } from 'd3'
import type { CapabilitySummary } from '../capability/summary.ts'
import { formatNumber, formatSigned } from '../words/format.ts'
import { VerdictMark } from './index-mark.tsx'
import { placeLabels } from './label-placement.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'

/** A characteristic in half tolerances: where its mean lies off the middle, and its overall sigma. */
export interface LocationSpreadPoint {
  readonly summary: CapabilitySummary
  /** −1 at the lower limit, +1 at the upper. */
  readonly offset: number
  readonly sigma: number
  /** Interval of sigma, from that of Pp; null where there is none. */
  readonly interval: readonly [number, number] | null
}

/** The characteristics that have both limits and a sigma; the others cannot stand in this figure. */
export function locationSpreadPoints(rows: readonly CapabilitySummary[]): LocationSpreadPoint[] {
  const points: LocationSpreadPoint[] = []
  for (const summary of rows) {
    const { lower, upper } = summary.characteristic
    if (lower === null || upper === null || upper <= lower || summary.sigmaOverall === null) continue
    const half = (upper - lower) / 2
    const { pp } = summary
    points.push({
      summary,
      offset: (summary.mean - (lower + upper) / 2) / half,
      sigma: summary.sigmaOverall / half,
      // Pp = half / (3 sigma), so that sigma in half tolerances is 1 / (3 Pp).
      interval: pp === null || pp.lower <= 0 ? null : [1 / (3 * pp.upper), 1 / (3 * pp.lower)],
    })
  }
  return points
}

export interface LocationSpreadProps {
  readonly rows: readonly CapabilitySummary[]
  readonly required: number
  readonly width: number
  readonly height: number
  readonly palette: Palette
  readonly label: string
}

const MARGIN = { left: 52, right: 44, top: 30, bottom: 50 }

/**
 * Mean against sigma, both in half tolerances. Lines join what has the same Ppk, (1 − |offset|) / (3 sigma): what
 * lies under the required line meets it.
 */
export function LocationSpread({ rows, required, width, height, palette, label }: LocationSpreadProps) {
  const points = locationSpreadPoints(rows)
  const reach = niceReach(points)
  const peaks = [1, 1.67, 2].filter((index) => Math.abs(index - required) > 0.12)
  const top = Math.max(1 / (3 * Math.min(required, 1)), ...points.map((point) => point.sigma)) * 1.08
  const x = scaleLinear([-reach, reach], [MARGIN.left, width - MARGIN.right])
  const y = scaleLinear([0, top], [height - MARGIN.bottom, MARGIN.top])
  const frame = { x0: x(-reach), x1: x(reach), y0: y(top), y1: y(0) }
  const tent = (index: number): [number, number][] => {
    const edge = Math.max(0, (1 - reach) / (3 * index))
    return [
      [-Math.min(reach, 1), edge],
      [0, 1 / (3 * index)],
      [Math.min(reach, 1), edge],
    ]
  }
  const path = (index: number) => `M${tent(index).map(([a, b]) => `${round(x(a))} ${round(y(b))}`).join('L')}`
  const named = [required, ...peaks]
  const ends = named.map((index) => y((tent(index)[2] as [number, number])[1]))
  const endPlaces = spreadLabels(ends, 14, MARGIN.top, height - MARGIN.bottom)
  const numbers = points.map((point) => point.summary.characteristic.designator)
  const places = points.map((point) => ({ x: x(point.offset), y: y(point.sigma) }))
  const labels = placeLabels(places, numbers.map((text) => textWidth(text, SIZE)), 13, 7, frame)
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      <path
        d={`${path(required)}L${round(x(Math.min(reach, 1)))} ${round(y(0))}H${round(x(-Math.min(reach, 1)))}z`}
        fill={palette.wash}
      />
      <line x1={round(x(0))} x2={round(x(0))} y1={MARGIN.top - 8} y2={round(y(0))} stroke={palette.rule} />
      {peaks.map((index) => (
        <path key={index} d={path(index)} fill="none" stroke={palette.faint} />
      ))}
      <path d={path(required)} fill="none" stroke={palette.ink} stroke-width={1.4} />
      {named.map((index, i) => (
        <Text
          key={index}
          x={x(Math.min(reach, 1)) + 8}
          y={(endPlaces[i] as number) + 4}
          palette={palette}
          tone={i === 0 ? 'ink' : 'soft'}
          strong={i === 0}
        >
          {formatNumber(index, 2)}
        </Text>
      ))}
      <line x1={round(x(-reach))} x2={round(x(reach))} y1={round(y(0))} y2={round(y(0))} stroke={palette.faint} />
      {y.ticks(4).map((tick) => (
        <Text key={tick} x={MARGIN.left - 8} y={y(tick) + 4} palette={palette} tone="soft" anchor="end">
          {`${formatNumber(tick * 100, 0)} %`}
        </Text>
      ))}
      {[-reach, -reach / 2, reach / 2, reach].map((tick) => (
        <Text key={tick} x={x(tick)} y={height - MARGIN.bottom + 18} palette={palette} tone="soft" anchor="middle">
          {`${formatSigned(tick * 100, 0)} %`}
        </Text>
      ))}
      <Text x={x(0)} y={height - MARGIN.bottom + 18} palette={palette} tone="soft" anchor="middle">
        middle
      </Text>
      <Text x={0} y={14} palette={palette} tone="soft">
        overall sigma, in half tolerances
      </Text>
      <Text x={width - MARGIN.right + 8} y={14} palette={palette} tone="soft">
        Ppk
      </Text>
      <Text x={x(0)} y={height - 10} palette={palette} tone="soft" anchor="middle">
        where the mean lies, in half tolerances
      </Text>
      {points.map((point, i) => {
        const place = places[i] as { x: number; y: number }
        const at = labels[i] as { x: number; y: number; apart: boolean }
        const text = numbers[i] as string
        return (
          <g key={point.summary.characteristic.id}>
            {point.interval !== null && (
              <line
                x1={round(place.x)}
                x2={round(place.x)}
                y1={round(y(Math.min(point.interval[1], top)))}
                y2={round(y(point.interval[0]))}
                stroke={point.summary.verdict === 'does not' ? palette.mark : palette.soft}
              />
            )}
            {at.apart && (
              <line
                x1={round(place.x)}
                y1={round(place.y)}
                x2={round(at.x + textWidth(text, SIZE) / 2)}
                y2={round(at.y - 4)}
                stroke={palette.faint}
              />
            )}
            <VerdictMark x={place.x} y={place.y} verdict={point.summary.verdict} palette={palette} />
            <Text
              x={at.x}
              y={at.y}
              palette={palette}
              tone={point.summary.verdict === 'does not' ? 'mark' : 'ink'}
              strong={point.summary.verdict === 'does not'}
            >
              {text}
            </Text>
          </g>
        )
      })}
    </svg>
  )
}

/** Half width of the figure: the smallest round share of the half tolerance that holds every mean. */
function niceReach(points: readonly LocationSpreadPoint[]): number {
  const farthest = Math.max(0, ...points.map((point) => Math.abs(point.offset)))
  return [0.4, 0.6, 1, 1.5, 2, 3, 5].find((reach) => reach >= farthest * 1.08) ?? farthest * 1.1
}
