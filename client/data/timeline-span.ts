import { useEffect, useMemo, useRef, useState } from 'preact/hooks'
import { driftState, windowOf } from './drift-state.ts'
import { useQuery } from './query.ts'

/** First and last position in view, both inclusive; between whole builds while it is being moved. */
export type Span = readonly [number, number]

/** Fewest builds that are looked at. */
const FEWEST = 8
/** Milliseconds without movement after which the address says what is in view. */
const SETTLED = 250
/** Least milliseconds between two drawings while builds are being moved: each costs a few frames. */
const REDRAW_EVERY = 500
/** Longest time until the next drawing, milliseconds, however slow the machine. */
const REDRAW_WITHIN = 1500
/** Drawings take at most one part in so many of the time, so that where one is slow the others are fewer. */
const DRAWING_SHARE = 8

/** Milliseconds from one drawing to the next, where the last one held up the frames for so many. */
export function redrawInterval(heldUp: number): number {
  return Math.max(REDRAW_EVERY, Math.min(REDRAW_WITHIN, heldUp * DRAWING_SHARE))
}

/** The span with `factor` times as many builds, the build at `anchor` staying where it is. */
export function zoomed([from, to]: Span, total: number, factor: number, anchor: number): Span {
  const width = to - from + 1
  const next = Math.max(Math.min(FEWEST, total), Math.min(total, width * factor))
  const share = (anchor - from + 0.5) / width
  return kept(anchor + 0.5 - share * next, next, total)
}

/** The span moved by so many builds, as far as the record goes. */
export function panned([from, to]: Span, total: number, by: number): Span {
  return kept(from + by, to - from + 1, total)
}

function kept(from: number, width: number, total: number): Span {
  const first = Math.max(0, Math.min(total - width, from))
  return [first, first + width - 1]
}

/** Whole builds of a span. */
export function wholeBuilds([from, to]: Span): Span {
  const first = Math.round(from)
  return [first, Math.max(first, Math.round(to))]
}

/** The span that the address names, by builds; else the last so many. */
export function spanIn(query: Readonly<Record<string, string>>, names: readonly string[]): Span {
  const [from, to] = [query.from, query.to].map((name) => (name === undefined ? -1 : names.indexOf(name)))
  return from !== undefined && to !== undefined && from >= 0 && to > from
    ? [from, to]
    : windowOf(names.length, driftState(query).builds)
}

/** How a figure that is drawn from one span is moved and stretched to show another, along x. */
export interface Shift {
  /** In widths of the figure. */
  readonly by: number
  readonly stretch: number
}

/** What turns a drawing of `drawn` into one of `span`. */
export function shiftTo(drawn: Span, span: Span): Shift {
  const width = span[1] - span[0] + 1
  return { by: (drawn[0] - span[0]) / width, stretch: (drawn[1] - drawn[0] + 1) / width }
}

/** Whether a drawing of `drawn` still does for `span`: most of it is there, and not stretched out of shape. */
export function serves(drawn: Span, span: Span): boolean {
  const { stretch } = shiftTo(drawn, span)
  const common = Math.min(drawn[1], span[1]) - Math.max(drawn[0], span[0]) + 1
  return stretch <= MOST_STRETCH && common / (span[1] - span[0] + 1) >= LEAST_COMMON
}

const MOST_STRETCH = 2.5
const LEAST_COMMON = 0.4

/** The builds in view. What is drawn stays while they move, and follows once they rest or have moved far. */
export interface Timeline {
  readonly total: number
  /** Whole builds, as figures draw them. */
  readonly drawn: Span
  /** In view at this moment, between whole builds while they move. */
  now(): Span
  move(next: Span): void
  /** Tells of every move; answers how to stop. */
  onMove(listener: () => void): () => void
}

/**
 * The builds in view, and a way to move them. The address follows once they rest; a span that ends with the latest build
 * is named as the last so many, so that it takes in what comes.
 */
export function useTimeline(names: readonly string[]): Timeline {
  const { query, change } = useQuery()
  const [redrawn, setRedrawn] = useState<Span | null>(null)
  const resting = spanIn(query, names)
  const drawn = redrawn ?? resting
  const state = useRef({ names, change, drawn, moving: null as Span | null })
  Object.assign(state.current, { names, change, drawn })
  const parts = useMemo(() => movedParts(state.current, setRedrawn), [])
  useEffect(() => parts.stop, [])
  return { total: names.length, drawn, ...parts }
}

interface TimelineState {
  names: readonly string[]
  change(patch: Readonly<Record<string, string | null>>): void
  drawn: Span
  moving: Span | null
}

function movedParts(state: TimelineState, redraw: (span: Span | null) => void) {
  const listeners = new Set<() => void>()
  let timer: ReturnType<typeof setTimeout> | undefined
  let drawAgainAt = Number.NEGATIVE_INFINITY
  const settle = () => {
    drawAgainAt = Number.NEGATIVE_INFINITY
    const { names, change, moving } = state
    if (moving === null) return
    const last = names.length - 1
    const [from, to] = wholeBuilds(moving)
    state.moving = null
    change(
      to === last
        ? { from: null, to: null, builds: from === 0 ? 'all' : String(to - from + 1) }
        : { from: names[from] ?? null, to: names[to] ?? null, builds: null },
    )
    redraw(null)
    // Where figures are drawn anew, the moved pictures stay until they are.
    if (from === state.drawn[0] && to === state.drawn[1]) for (const listener of listeners) listener()
  }
  const drawWhileMoving = (span: Span) => {
    const begun = performance.now()
    drawAgainAt = begun + REDRAW_EVERY
    redraw(wholeBuilds(span))
    // The frame after the next one begins once all of this is on the screen.
    requestAnimationFrame(() =>
      requestAnimationFrame((shown) => {
        if (state.moving !== null) drawAgainAt = begun + redrawInterval(shown - begun)
      }),
    )
  }
  return {
    now: () => state.moving ?? state.drawn,
    move(next: Span) {
      state.moving = next
      if (!serves(state.drawn, next) && performance.now() >= drawAgainAt) drawWhileMoving(next)
      for (const listener of listeners) listener()
      clearTimeout(timer)
      timer = setTimeout(settle, SETTLED)
    },
    onMove(listener: () => void) {
      listeners.add(listener)
      return () => {
        listeners.delete(listener)
      }
    },
    stop: () => clearTimeout(timer),
  }
}
