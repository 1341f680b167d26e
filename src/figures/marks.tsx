import type { Palette } from './palette.ts'
import { MARK_ROW, type Mark } from './signal-marks.ts'
import { round, Text } from './text.tsx'

interface MarksProps {
  readonly marks: readonly Mark[]
  /** Edge of the panel that the marks stand beside. */
  readonly y: number
  readonly side: 'above' | 'below'
  readonly colour: string
  readonly palette: Palette
}

/** Brackets and words above or below a panel, pointing at the points that they speak of. */
export function Marks({ marks, y, side, colour, palette }: MarksProps) {
  const out = side === 'above' ? -1 : 1
  return (
    <g>
      {marks.map((mark) => {
        const line = y + out * (mark.row * MARK_ROW + 6)
        const tick = -out * 4
        const stroke = mark.tone === 'quiet' ? palette.faint : colour
        const d = mark.single
          ? `M${round(mark.x0)} ${line}V${y}`
          : `${mark.closedLeft ? `M${round(mark.x0)} ${line + tick}V${line}` : `M${round(mark.x0)} ${line}`}H${round(mark.x1)}${mark.closedRight ? `V${line + tick}` : ''}`
        return (
          <g key={`${mark.x0} ${mark.row}`}>
            <path d={d} fill="none" stroke={stroke} stroke-width={mark.tone === 'quiet' ? 1 : 1.5} />
            {mark.text !== '' && (
              <Text
                x={mark.textX}
                y={side === 'above' ? line - 4 : line + 12}
                palette={palette}
                anchor="middle"
                tone={mark.tone === 'quiet' ? 'soft' : 'ink'}
              >
                {mark.text}
              </Text>
            )}
          </g>
        )
      })}
    </g>
  )
}
