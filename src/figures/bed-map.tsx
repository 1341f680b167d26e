import type { BedModel } from '../places/model.ts'
import { formatNumber } from '../words/format.ts'
import { boxSquares, type FaceFrame, faceX, faceY, partSquares } from './bed-layout.ts'
import type { Palette } from './palette.ts'
import { Squares } from './squares.tsx'
import { round, Text } from './text.tsx'

interface BedMapProps {
  readonly bed: BedModel
  /** Every part as a square, where the model has them; else means of boxes of the bed. */
  readonly singly: boolean
  readonly width: number
  readonly palette: Palette
  readonly label: string
}

/** Room around the outermost parts, for those that share a place. */
const PAD = 26
const LEFT = 40 + PAD
const HEAD = 22 + PAD
const FOOT = 20 + PAD
const BETWEEN = 24 + PAD
const TALLEST = 460
const LEAST_FRONT = 90

/** The bed from above and from the front, each part or box coloured by how far it lay from the parts beside it. */
export function BedMap({ bed, singly, width, palette, label }: BedMapProps) {
  const room = width - LEFT - PAD - 2
  const rangeX = bed.x[1] - bed.x[0]
  const rangeY = bed.y[1] - bed.y[0]
  const scale = Math.min(room / rangeX, TALLEST / rangeY)
  const across = rangeX * scale
  const planHeight = Math.max(60, rangeY * scale)
  const frontHeight = Math.max(LEAST_FRONT, (bed.z[1] - bed.z[0]) * scale)
  const plan: FaceFrame = {
    face: 'plan',
    left: LEFT,
    top: HEAD,
    width: across,
    height: planHeight,
    across: bed.x,
    up: bed.y,
  }
  const front: FaceFrame = {
    face: 'front',
    left: LEFT,
    top: HEAD + planHeight + BETWEEN + FOOT,
    width: across,
    height: frontHeight,
    across: bed.x,
    up: bed.z,
  }
  const height = front.top + frontHeight + FOOT + 2
  const { parts } = bed
  return (
    <svg width={width} height={height} viewBox={`0 0 ${width} ${height}`} role="img" aria-label={label}>
      {[plan, front].map((frame) => (
        <g key={frame.face}>
          <Face frame={frame} palette={palette} />
          <Squares
            squares={parts !== null && singly ? partSquares(parts, frame) : boxSquares(bed, frame)}
            palette={palette}
          />
        </g>
      ))}
    </svg>
  )
}

function Face({ frame, palette }: { frame: FaceFrame; palette: Palette }) {
  const { face, left, top, width, height, across, up } = frame
  const [name, axis] = face === 'plan' ? ['from above', 'y'] : ['from the front', 'z']
  return (
    <g>
      <rect
        x={round(left - PAD)}
        y={round(top - PAD)}
        width={round(width + 2 * PAD)}
        height={round(height + 2 * PAD)}
        fill="none"
        stroke={palette.rule}
      />
      <Text x={left - PAD} y={top - PAD - 8} palette={palette}>
        {name}
      </Text>
      {up.map((value, i) => (
        <Text
          key={value}
          x={left - PAD - 6}
          y={faceY(frame, value) + (i === 0 ? 0 : 9)}
          palette={palette}
          tone="soft"
          anchor="end"
        >
          {formatNumber(value, 0)}
        </Text>
      ))}
      <Text x={left - PAD - 6} y={top + height / 2 + 4} palette={palette} tone="soft" anchor="end">
        {axis}
      </Text>
      {across.map((value, i) => (
        <Text
          key={value}
          x={faceX(frame, value)}
          y={top + height + PAD + 15}
          palette={palette}
          tone="soft"
          anchor={i === 0 ? 'start' : 'end'}
        >
          {formatNumber(value, 0)}
        </Text>
      ))}
      <Text x={left + width / 2} y={top + height + PAD + 15} palette={palette} tone="soft" anchor="middle">
        x, mm
      </Text>
    </g>
  )
}
