import { scaleLinear } from 'd3'
import type { GaugeJudgement } from '../gauges/gauge-judgement.ts'
import { formatNumber } from '../words/format.ts'
import type { Palette } from './palette.ts'
import { round, Text } from './text.tsx'

const WIDTH = 200
const HEIGHT = 30
/** Shares beyond this run out of the mark. */
const MOST = 0.5
const x = scaleLinear([0, MOST], [2, WIDTH - 12])
const BOUNDS = [0.1, 0.3] as const

/** The scale above a column of `ShareMark`: a tenth and three tenths. */
export function ShareAxis({ palette }: { palette: Palette }) {
  return (
    <svg width={WIDTH} height={18} viewBox={`0 0 ${WIDTH} 18`} aria-hidden="true">
      {BOUNDS.map((bound) => (
        <Text key={bound} x={x(bound)} y={13} palette={palette} tone="soft" anchor="middle" size={11}>
          {`${formatNumber(100 * bound, 0)} %`}
        </Text>
      ))}
    </svg>
  )
}

/** The gauge’s share of tolerance or spread with its interval, against a tenth and three tenths. */
export function ShareMark({ judgement, palette }: { judgement: GaugeJudgement | null; palette: Palette }) {
  const share = judgement?.share ?? null
  const far = share !== null && (share.upper === null || share.upper > MOST)
  const at = share === null ? 0 : x(Math.min(MOST, share.value))
  const tooCoarse = judgement?.verdict === 'too coarse'
  return (
    <svg width={WIDTH} height={HEIGHT} viewBox={`0 0 ${WIDTH} ${HEIGHT}`} aria-hidden="true">
      <line x1={round(x(0))} x2={round(x(0))} y1={0} y2={HEIGHT} stroke={palette.rule} />
      {BOUNDS.map((bound) => (
        <line
          key={bound}
          x1={round(x(bound))}
          x2={round(x(bound))}
          y1={0}
          y2={HEIGHT}
          stroke={palette.rule}
        />
      ))}
      {share !== null && (
        <>
          <path
            d={`M${round(x(Math.min(MOST, share.lower)))} ${HEIGHT / 2}H${round(far ? WIDTH - 6 : x(share.upper as number))}${far ? 'm-5 -4l5 4l-5 4' : ''}`}
            fill="none"
            stroke={tooCoarse ? palette.mark : palette.faint}
            stroke-width={2.4}
          />
          <circle
            cx={round(at)}
            cy={HEIGHT / 2}
            r={4.2}
            fill={judgement?.sure ? (tooCoarse ? palette.mark : palette.soft) : palette.paper}
            stroke={tooCoarse ? palette.mark : palette.soft}
            stroke-width={1.4}
          />
        </>
      )}
    </svg>
  )
}
