import type { Palette } from './palette.ts'
import { round } from './text.tsx'
import type { TimelineLayout } from './timeline-layout.ts'

/** Builds between which something moved, positions inclusive, and which way. */
export interface MovedBand {
  readonly from: number
  readonly to: number
  /** The first build after the change, as best known: named at the head of the timeline. */
  readonly at: number
  readonly side: 'under' | 'over' | 'neither'
}

interface BandProps {
  readonly band: MovedBand
  readonly layout: TimelineLayout
  readonly height: number
  readonly palette: Palette
}

/** The wash that leads the eye from the strip over the lanes to the points of the chart. */
export function Band({ band, layout, height, palette }: BandProps) {
  const { scale } = layout
  const from = Math.max(scale.from, band.from)
  const to = Math.min(scale.to, band.to)
  if (to < from) return null
  return (
    <rect
      x={round(scale.start(from))}
      y={0}
      width={round(scale.end(to) - scale.start(from))}
      height={height}
      fill={band.side === 'neither' ? palette.soft : palette[band.side]}
      fill-opacity={0.12}
    />
  )
}
