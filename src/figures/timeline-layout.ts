import { type BuildScale, buildScale } from './build-scale.ts'

/** Widths left and right of the timeline that strip, lanes and chart all keep to, in pixels. */
export interface TimelineLayout {
  readonly width: number
  readonly scale: BuildScale
  /** full: names and figures at the right; middle: short names; narrow: values only, titles above panels. */
  readonly room: 'full' | 'middle' | 'narrow'
}

/** The layout for a figure of the given width showing the builds `from` to `to` (positions, inclusive). */
export function timelineLayout(width: number, from: number, to: number): TimelineLayout {
  const room = width >= 900 ? 'full' : width >= 600 ? 'middle' : 'narrow'
  const [left, right] = GUTTERS[room]
  return { width, room, scale: buildScale(from, to, left, width - right) }
}

const GUTTERS = { full: [190, 246], middle: [150, 132], narrow: [106, 60] } as const
