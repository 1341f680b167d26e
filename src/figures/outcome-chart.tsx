import { scaleLinear } from 'd3'
import type { Outcome } from '../shrinkage/outcome.ts'
import { characteristicTitle, formatNumber, formatSigned, meanDecimals } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, SIZE, Text } from './text.tsx'
import { fitText } from './text-width.ts'

interface OutcomeChartProps {
  readonly outcomes: readonly Outcome[]
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const ROW = 22
const HEAD = 26

/** What was measured less what was predicted, by characteristic, in units of what was allowed for. */
export function OutcomeChart({ outcomes, width, palette, label }: OutcomeChartProps) {
  const narrow = width < 600
  const left = narrow ? 112 : 230
  const right = narrow ? 64 : 300
  const height = HEAD + outcomes.length * ROW + 4
  const ratio = ({ difference, allowed }: Outcome) => difference / allowed.upper
  const reach = 1.1 * Math.max(1.3, ...outcomes.map((outcome) => Math.abs(ratio(outcome))))
  const x = scaleLinear([-reach, reach], [left, width - right])
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      <rect
        x={round(x(-1))}
        y={HEAD - 6}
        width={round(x(1) - x(-1))}
        height={height - HEAD + 6}
        fill={palette.wash}
      />
      <line x1={round(x(0))} x2={round(x(0))} y1={HEAD - 6} y2={height} stroke={palette.faint} />
      <Text x={x(0)} y={12} palette={palette} tone="soft" anchor="middle">
        {narrow ? 'predicted' : 'as predicted, with what was allowed for'}
      </Text>
      {outcomes.map((outcome, i) => {
        const { characteristic, difference, allowed, held } = outcome
        const y = HEAD + i * ROW + ROW / 2
        const decimals = meanDecimals(characteristic)
        const at = x(ratio(outcome))
        const colour = held ? palette.soft : difference < 0 ? palette.under : palette.over
        return (
          <g key={characteristic.id}>
            <Text x={0} y={y + 4} palette={palette} strong={!held}>
              {fitText(characteristicTitle(characteristic), SIZE, left - 10)}
            </Text>
            <line x1={round(x(0))} x2={round(at)} y1={y} y2={y} stroke={colour} />
            <circle
              cx={round(at)}
              cy={y}
              r={3.5}
              fill={held ? palette.paper : colour}
              stroke={colour}
              stroke-width={1.4}
            />
            <Text
              x={width - right + 8}
              y={y + 4}
              palette={palette}
              tone={held ? 'soft' : 'ink'}
              strong={!held}
            >
              {narrow
                ? formatSigned(difference, decimals)
                : `${formatSigned(difference, decimals)} ${characteristic.unit === 'um' ? 'µm' : characteristic.unit}, ± ${formatNumber(allowed.upper, decimals)} allowed: ${held ? 'held' : 'did not hold'}`}
            </Text>
          </g>
        )
      })}
    </svg>
  )
}
