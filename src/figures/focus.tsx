import type { Palette } from './palette.ts'
import { STRIP_NAMES_Y } from './strip.tsx'
import { round, SIZE, Text } from './text.tsx'
import { textWidth } from './text-width.ts'
import type { TimelineLayout } from './timeline-layout.ts'

interface FocusProps {
  readonly layout: TimelineLayout
  /** The build pointed at. */
  readonly position: number
  /** Its name, where the figure has its names of builds at the top; else null. */
  readonly name: string | null
  readonly palette: Palette
}

/** The build pointed at, as a layer over a figure: apart from it, since it changes with every move of the pointer. */
export function Focus({ layout, position, name, palette }: FocusProps) {
  const { scale, width } = layout
  const step = Math.max(scale.step, 3)
  return (
    <svg class="layer" width={width} height="100%" aria-hidden="true">
      <rect
        x={round(scale.centre(position) - step / 2)}
        y={STRIP_NAMES_Y + 6}
        width={round(step)}
        height="100%"
        fill={palette.soft}
        fill-opacity={0.12}
        stroke={palette.soft}
        stroke-opacity={0.5}
      />
      {name !== null && <Name layout={layout} position={position} name={name} palette={palette} />}
    </svg>
  )
}

function Name({ layout, position, name, palette }: FocusProps & { readonly name: string }) {
  const { scale, width } = layout
  const wide = textWidth(name, SIZE) + 8
  const x = Math.max(0, Math.min(width - wide, scale.centre(position) - wide / 2))
  return (
    <g>
      <rect x={round(x)} y={STRIP_NAMES_Y - 12} width={round(wide)} height={16} fill={palette.paper} />
      <Text x={x + 4} y={STRIP_NAMES_Y} palette={palette} strong>
        {name}
      </Text>
    </g>
  )
}
