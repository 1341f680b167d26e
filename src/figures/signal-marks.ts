import type { Panel, Signal } from '../charts/model.ts'
import { stretchesOf } from '../charts/stretches.ts'
import { testWords } from '../words/signal.ts'
import type { BuildScale } from './build-scale.ts'
import { SIZE } from './text.tsx'
import { textWidth } from './text-width.ts'

/** Height of one row of marks above or below a panel. */
export const MARK_ROW = 24
export const MOST_ROWS = 5
/** Room on either side of the line that joins a single point to its words. */
const STEM_ROOM = 3

/** Words and bracket for the points of one signal, or for the span that limits come from. */
export interface Mark {
  /** Position of the row, 0 nearest to the panel. */
  readonly row: number
  readonly x0: number
  readonly x1: number
  /** False where the span goes on outside the builds in view. */
  readonly closedLeft: boolean
  readonly closedRight: boolean
  /** Empty where there was no room for the words. */
  readonly text: string
  readonly textX: number
  readonly tone: 'signal' | 'quiet'
  /** Single points are joined to their words by a line instead of a bracket. */
  readonly single: boolean
}

export interface MarkRequest {
  /** First and last position on the timeline. */
  readonly from: number
  readonly to: number
  readonly text: string
  readonly tone: 'signal' | 'quiet'
  readonly single: boolean
}

/**
 * What is to be written on one side of a panel. Tests overlap: of each stretch of signals the longest and the one
 * to name it by are written, longest first; the points of all of them are marked on the chart.
 */
export function signalRequests(
  signals: readonly Signal[],
  panel: Panel,
  side: Signal['side'],
  positions: readonly number[],
): MarkRequest[] {
  const own = signals.filter((signal) => signal.panel === panel.id && signal.side === side)
  const named = stretchesOf(own).flatMap(({ lead, signals: all }) => {
    const longest = all.reduce((long, signal) => (reach(signal) > reach(long) ? signal : long), lead)
    return longest === lead ? [lead] : [longest, lead]
  })
  return named
    .map((signal) => ({
      from: positions[signal.points[0] as number] as number,
      to: positions[signal.points.at(-1) as number] as number,
      text: testWords(signal),
      tone: 'signal' as const,
      single: signal.points.length === 1,
    }))
    .sort((a, b) => b.to - b.from - (a.to - a.from))
}

/** Subgroups from the first to the last point of a signal. */
function reach({ points }: Signal): number {
  return (points.at(-1) as number) - (points[0] as number)
}

/**
 * Places for the marks in rows, so that neither brackets nor words overlap. Where the rows run out, and
 * where a line to a single point would run through other words, words are left off first; the points themselves stay
 * marked on the chart.
 *
 * @param bounds left and right edge that words keep inside, in pixels
 * @param mostRows rows that there is room for
 */
export function placeMarks(
  requests: readonly MarkRequest[],
  scale: BuildScale,
  bounds: readonly [number, number],
  mostRows: number,
): Mark[] {
  const rows: Span[][] = []
  /** Of every row, what a line must not run through: words, for lines of words farther out. */
  const words: Span[][] = []
  const marks: Mark[] = []
  for (const request of requests) {
    if (request.to < scale.from || request.from > scale.to) continue
    const x0 = scale.centre(Math.max(request.from, scale.from))
    const x1 = scale.centre(Math.min(request.to, scale.to))
    const width = textWidth(request.text, SIZE)
    const textX = Math.max(bounds[0] + width / 2, Math.min(bounds[1] - width / 2, (x0 + x1) / 2))
    const shape = {
      x0,
      x1,
      closedLeft: request.from >= scale.from,
      closedRight: request.to <= scale.to,
      textX,
      tone: request.tone,
      single: request.single,
    }
    const text: Span = [textX - width / 2, textX + width / 2]
    const fits = width <= bounds[1] - bounds[0]
    const whole: Span = [Math.min(x0, text[0]) - 6, Math.max(x1, text[1]) + 6]
    const row = fits ? freeRow(rows, whole, mostRows) : null
    const stem: Span = [x0 - STEM_ROOM, x0 + STEM_ROOM]
    const isCrossed =
      request.single && row !== null && words.slice(0, row).some((taken) => !isFree(taken, stem))
    if (row !== null && !isCrossed) {
      take(rows, row, whole)
      take(words, row, text)
      // Neither may words that come later stand where the line runs.
      if (request.single) for (let crossed = 0; crossed < row; crossed++) take(rows, crossed, stem)
      marks.push({ ...shape, row, text: request.text })
    } else if (!request.single) {
      const bracket: Span = [x0 - 4, x1 + 4]
      const bare = freeRow(rows, bracket, mostRows)
      if (bare === null) continue
      take(rows, bare, bracket)
      marks.push({ ...shape, row: bare, text: '' })
    }
  }
  return marks
}

type Span = readonly [from: number, to: number]

function take(rows: Span[][], row: number, span: Span): void {
  rows[row] = [...(rows[row] ?? []), span]
}

function isFree(taken: readonly Span[] | undefined, [from, to]: Span): boolean {
  return (taken ?? []).every((span) => to < span[0] || from > span[1])
}

function freeRow(rows: readonly Span[][], span: Span, mostRows: number): number | null {
  for (let row = 0; row < mostRows; row++) if (isFree(rows[row], span)) return row
  return null
}

/** How many rows the marks need. */
export function markRows(marks: readonly Mark[]): number {
  return marks.reduce((most, mark) => Math.max(most, mark.row + 1), 0)
}
