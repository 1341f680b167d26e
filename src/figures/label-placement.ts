/** A label beside its point: where its text begins (baseline) after placing. */
export interface PlacedLabel {
  readonly x: number
  readonly y: number
  /** True where the label had to stand off, so that a line joins it to its point. */
  readonly apart: boolean
}

interface Box {
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

/** Directions tried, near ones first: right, left, above, below, then the diagonals. */
const DIRECTIONS = [
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [1, -1],
  [-1, -1],
  [1, 1],
  [-1, 1],
] as const

/**
 * Places for short labels beside crowded points, each at the first place that touches no point and no label
 * placed before it; where none is free, at the farthest tried.
 *
 * @param points centres in pixels
 * @param widths of the labels, parallel to `points`
 * @param height of a label
 * @param radius kept free around every point
 * @param frame that labels stay inside
 */
export function placeLabels(
  points: readonly { readonly x: number; readonly y: number }[],
  widths: readonly number[],
  height: number,
  radius: number,
  frame: Box,
): PlacedLabel[] {
  const taken: Box[] = points.map(({ x, y }) => ({
    x0: x - radius,
    x1: x + radius,
    y0: y - radius,
    y1: y + radius,
  }))
  return points.map((point, i) => {
    const width = widths[i] as number
    let box: Box | null = null
    let reach = 0
    search: for (reach = 1; reach <= 7; reach++) {
      for (const [dx, dy] of DIRECTIONS) {
        const cx = point.x + dx * (radius + width / 2 + 1 + (reach - 1) * 8)
        const cy = point.y + dy * (radius + height / 2 + (reach - 1) * 8)
        box = { x0: cx - width / 2, x1: cx + width / 2, y0: cy - height / 2, y1: cy + height / 2 }
        const here = box
        if (inside(here, frame) && taken.every((other) => !overlap(here, other))) break search
      }
    }
    const placed = box as Box
    taken.push(placed)
    return { x: placed.x0, y: placed.y1 - height * 0.22, apart: reach > 1 }
  })
}

function overlap(a: Box, b: Box): boolean {
  return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1
}

function inside(a: Box, frame: Box): boolean {
  return a.x0 >= frame.x0 && a.x1 <= frame.x1 && a.y0 >= frame.y0 && a.y1 <= frame.y1
}
