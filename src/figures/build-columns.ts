import type { BuildScale } from './build-scale.ts'

/** Builds narrower than this many pixels are drawn in columns of several. */
export const LEAST_STEP = 2
/** Width of a column, pixels. */
export const COLUMN = 2

/** Neighbouring builds summed up where there is no room for each. */
export interface BuildColumn {
  readonly x: number
  readonly mean: number
  readonly min: number
  readonly max: number
}

/**
 * Values on the timeline gathered into columns two pixels wide, from left to right; columns without a value are not
 * there.
 *
 * @param count how many values there are
 * @param positionOf a value on the timeline, ascending
 */
export function buildColumns(
  count: number,
  positionOf: (i: number) => number,
  valueAt: (i: number) => number | null | undefined,
  scale: BuildScale,
): BuildColumn[] {
  const columns: BuildColumn[] = []
  let at = -1
  let n = 0
  let [sum, min, max] = [0, 0, 0]
  const close = () => {
    if (n > 0) columns.push({ x: scale.x0 + at * COLUMN, mean: sum / n, min, max })
    n = 0
  }
  for (let i = 0; i < count; i++) {
    const position = positionOf(i)
    if (position < scale.from) continue
    if (position > scale.to) break
    const value = valueAt(i)
    if (value === null || value === undefined) continue
    const column = Math.floor((scale.centre(position) - scale.x0) / COLUMN)
    if (column !== at) {
      close()
      at = column
      ;[sum, min, max] = [0, value, value]
    }
    n++
    sum += value
    min = Math.min(min, value)
    max = Math.max(max, value)
  }
  close()
  return columns
}
