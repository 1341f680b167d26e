import { scaleLinear } from 'd3'
import type { ExplainedShare } from '../shrinkage/shares.ts'
import { formatNumber } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'

interface SharesChartProps {
  readonly shares: readonly ExplainedShare[]
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

const ROW = 26
const HEAD = 22
/** A share stands out from chance from so small a probability on. */
const SURE = 0.01

/** How sure it is that a condition matters, in words. */
export function shareVerdict({ p }: ExplainedShare): string {
  return p < SURE ? 'more than chance' : 'as chance would'
}

/** The conditions that matter, the largest share first, in a sentence. */
export function sharesWords(shares: readonly ExplainedShare[]): string {
  const sure = shares.filter(({ p }) => p < SURE).toSorted((a, b) => b.ofAll - a.ofAll)
  const names = sure.map(({ factor, ofAll }) => `${factor} (${formatNumber(100 * ofAll, 0)} %)`)
  if (names.length === 0) return 'No recorded condition goes with shrinkage by more than chance.'
  const list = names.length === 1 ? names[0] : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
  return `Shrinkage goes with ${list} by more than chance (p below ${SURE}).`
}

/** How much of all variance goes with each recorded condition, one condition at a time. */
export function SharesChart({ shares, width, palette, label }: SharesChartProps) {
  const narrow = width < 600
  const left = narrow ? 104 : 190
  const right = narrow ? 66 : 246
  const height = HEAD + shares.length * ROW
  const x = scaleLinear([0, 1], [left, width - right])
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {[0, 0.25, 0.5, 0.75, 1].map((tick) => (
        <g key={tick}>
          <line x1={round(x(tick))} x2={round(x(tick))} y1={16} y2={height} stroke={palette.rule} />
          <Text x={x(tick)} y={11} palette={palette} tone="soft" anchor="middle">
            {`${100 * tick} %`}
          </Text>
        </g>
      ))}
      {shares.map((share, i) => {
        const y = HEAD + i * ROW
        const sure = share.p < SURE
        return (
          <g key={share.factor}>
            <Text x={0} y={y + 15} palette={palette} strong={sure}>
              {share.factor}
            </Text>
            <rect
              x={round(x(0))}
              y={y + 5}
              width={round(Math.max(1, x(share.ofAll) - x(0)))}
              height={13}
              fill={sure ? palette.soft : palette.wash}
              stroke={palette.soft}
              stroke-width={0.8}
            />
            <Text
              x={width - right + 10}
              y={y + 15}
              palette={palette}
              tone={sure ? 'ink' : 'soft'}
              strong={sure}
            >
              {narrow
                ? `${formatNumber(100 * share.ofAll, 0)} %`
                : `${formatNumber(100 * share.ofAll, 0)} %, ${shareVerdict(share)}`}
            </Text>
          </g>
        )
      })}
    </svg>
  )
}
