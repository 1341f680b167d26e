import { likenessOrder } from '../overview/likeness.ts'
import type { OverviewRow } from '../overview/overview.ts'

/** By axis, by number on the drawing, what moved most first, or what moves together side by side. */
export type RowOrder = 'axis' | 'number' | 'worst' | 'likeness'

export interface StripLine {
  readonly row: OverviewRow
  /** Top edge in pixels. */
  readonly y: number
  /** Name of the group that begins here; null within one. */
  readonly opens: string | null
}

export interface StripLayout {
  readonly lines: readonly StripLine[]
  /** Top edge of the first row, and of what follows the last. */
  readonly top: number
  readonly bottom: number
}

export const ROW = 20
const GROUP_GAP = 8
/** Room for the names of builds above the first row. */
const HEAD = 24

/** Where the rows of the strip stand. */
export function stripLayout(rows: readonly OverviewRow[], order: RowOrder): StripLayout {
  const sorted = sortRows(rows, order)
  const lines: StripLine[] = []
  let y = HEAD
  let group: string | null = null
  for (const row of sorted) {
    const own = order === 'axis' ? (row.characteristic.axis ?? '') : ''
    const opens = own !== group ? own : null
    if (opens !== null && lines.length > 0) y += GROUP_GAP
    lines.push({ row, y, opens: order === 'axis' ? opens : null })
    group = own
    y += ROW
  }
  return { lines, top: HEAD, bottom: y }
}

/** The rows in the order that they are read in. */
export function sortRows(rows: readonly OverviewRow[], order: RowOrder): OverviewRow[] {
  const byNumber = (a: OverviewRow, b: OverviewRow) =>
    a.characteristic.designator.localeCompare(b.characteristic.designator, 'en', { numeric: true })
  if (order === 'likeness') {
    const sorted = [...rows].sort(byNumber)
    return likenessOf(sorted).map((i) => sorted[i] as OverviewRow)
  }
  // What has no axis stands last.
  const axis = (row: OverviewRow) => ['X', 'Y', 'Z', null].indexOf(row.characteristic.axis)
  return [...rows].sort((a, b) => {
    if (order === 'worst') return b.urgency - a.urgency || byNumber(a, b)
    if (order === 'axis') return axis(a) - axis(b) || byNumber(a, b)
    return byNumber(a, b)
  })
}

const likeness = new WeakMap<OverviewRow, { rows: readonly OverviewRow[]; order: readonly number[] }>()

/** The order is asked for with every move of the pointer, and computed once for the same rows. */
function likenessOf(rows: readonly OverviewRow[]): readonly number[] {
  const [first] = rows
  if (first === undefined) return []
  const known = likeness.get(first)
  if (
    known !== undefined &&
    known.rows.length === rows.length &&
    known.rows.every((row, i) => row === rows[i])
  )
    return known.order
  const order = likenessOrder(rows.map((row) => row.deviations))
  likeness.set(first, { rows, order })
  return order
}

/** The row at height y of the figure; null between groups and outside. */
export function rowAt(layout: StripLayout, y: number): OverviewRow | null {
  return layout.lines.find((line) => y >= line.y && y < line.y + ROW)?.row ?? null
}
