import { scaleBand, scaleLinear } from 'd3'
import { formatSigned } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { spreadLabels } from './spread-labels.ts'
import type { StudyReadingsModel } from './study-readings-model.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText, textWidth } from './text-width.ts'
import { SignedGrid } from './value-grid.tsx'

interface StudyReadingsProps {
  readonly model: StudyReadingsModel
  readonly unit: string
  readonly decimals: number
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const HEIGHT = 320
const HEAD = 40
const FOOT = 44

/**
 * Readings of a gauge study around the mean of each part, inspectors side by side on every part. A bar is what one
 * inspector’s readings of one part span; at the right stand the inspectors’ own means.
 */
export function StudyReadings({ model, unit, decimals, width, palette, label }: StudyReadingsProps) {
  const { inspectors, offsets, parts, reach } = model
  const narrow = width < 620
  const left = narrow ? 46 : 60
  const right = width - (narrow ? 4 : 148)
  const bottom = HEIGHT - FOOT
  const y = scaleLinear([-reach * 1.1 || -1, reach * 1.1 || 1], [bottom, HEAD])
  const bands = scaleBand(
    parts.map(({ name }) => name),
    [left, right],
  )
  const lanes = scaleBand(
    inspectors.map((_, i) => i),
    [0, bands.bandwidth()],
  ).padding(0.3)
  const dot = Math.max(1.4, Math.min(3, lanes.bandwidth() / 3))
  const places = spreadLabels(
    offsets.map((offset) => y(offset)),
    16,
    HEAD + 6,
    bottom - 6,
  )
  return (
    <svg width={width} height={HEIGHT} viewBox={`0 0 ${width} ${HEIGHT}`} role="img" aria-label={label}>
      <Text x={0} y={13} palette={palette} tone="soft">
        {`reading less the mean of its part, ${unit}`}
      </Text>
      <SignedGrid y={y} x0={left} x1={right} decimals={decimals} count={6} palette={palette} />
      <line x1={left} x2={right} y1={round(y(0))} y2={round(y(0))} stroke={palette.faint} />
      {parts.map(({ name, cells }, p) => {
        const from = bands(name) as number
        return (
          <g key={name}>
            {p > 0 && (
              <line x1={round(from)} x2={round(from)} y1={HEAD} y2={bottom + 4} stroke={palette.rule} />
            )}
            <Text x={from + bands.bandwidth() / 2} y={bottom + 18} palette={palette} anchor="middle">
              {fitText(name, SIZE, bands.bandwidth())}
            </Text>
            {cells.map(({ inspector, deviations }) => {
              const x = round(from + (lanes(inspector) ?? 0) + lanes.bandwidth() / 2)
              const open = inspector % 2 === 1
              return (
                <g key={inspector}>
                  {p === 0 && !narrow && (
                    <Text x={x} y={HEAD - 6} palette={palette} tone="soft" anchor="middle" size={11}>
                      {fitText(inspectorName(inspectors[inspector]), 11, lanes.step())}
                    </Text>
                  )}
                  <line
                    x1={x}
                    x2={x}
                    y1={round(y(Math.min(...deviations)))}
                    y2={round(y(Math.max(...deviations)))}
                    stroke={palette.faint}
                  />
                  {deviations.map((deviation, i) => (
                    <circle
                      // Equal readings lie on one another.
                      key={i}
                      cx={x}
                      cy={round(y(deviation))}
                      r={dot}
                      fill={open ? palette.paper : palette.soft}
                      stroke={palette.soft}
                    />
                  ))}
                </g>
              )
            })}
          </g>
        )
      })}
      {!narrow &&
        inspectors.map((name, i) => (
          <g key={name}>
            <path
              d={`M${round(right + 2)} ${round(y(offsets[i] as number))}h8L${round(right + 22)} ${round(places[i] as number)}`}
              fill="none"
              stroke={palette.soft}
            />
            <Text x={right + 26} y={(places[i] as number) + 4} palette={palette}>
              {fitText(
                `${inspectorName(name)} ${formatSigned(offsets[i] as number, decimals + 1)}`,
                SIZE,
                width - right - 26,
              )}
            </Text>
          </g>
        ))}
      {narrow && (
        <Text x={left} y={30} palette={palette} tone="soft" size={11}>
          {fitText(
            `on each part from left to right: ${inspectors.map(inspectorName).join(', ')}`,
            11,
            width - left,
          )}
        </Text>
      )}
      <Text x={(left + right) / 2} y={HEIGHT - 6} palette={palette} tone="soft" anchor="middle">
        {textWidth('parts, the smallest first', SIZE) < right - left ? 'parts, the smallest first' : 'parts'}
      </Text>
    </svg>
  )
}

function inspectorName(name: string | undefined): string {
  return name === undefined || name === '' ? 'nobody named' : name
}
