import { useEffect, useRef, useState } from 'preact/hooks'
import { driftState, windowOf } from './drift-state.ts'
import { useQuery } from './query.ts'

/** First and last position in view, both inclusive; between whole builds while it is being moved. */
export type Span = readonly [number, number]

/** Fewest builds that are looked at. */
const FEWEST = 8
/** Milliseconds without movement after which the address says what is in view. */
const SETTLED = 250

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

/**
 * The builds in view, and a way to move them. The address follows once they rest; a span that ends with the latest build
 * is named as the last so many, so that it takes in what comes.
 */
export function useTimelineSpan(names: readonly string[]): readonly [Span, Span, (next: Span) => void] {
  const { query, change } = useQuery()
  const [moving, setMoving] = useState<Span | null>(null)
  const timer = useRef<ReturnType<typeof setTimeout> | null>(null)
  const settle = useRef(change)
  settle.current = change
  const resting = spanIn(query, names)
  const exact = moving ?? resting
  useEffect(() => () => clearTimeout(timer.current ?? undefined), [])
  const move = (next: Span) => {
    setMoving(next)
    clearTimeout(timer.current ?? undefined)
    timer.current = setTimeout(() => {
      const [from, to] = wholeBuilds(next)
      const whole = from === 0 && to === names.length - 1
      settle.current(
        to === names.length - 1
          ? { from: null, to: null, builds: whole ? 'all' : String(to - from + 1) }
          : { from: names[from] ?? null, to: names[to] ?? null, builds: null },
      )
      setMoving(null)
    }, SETTLED)
  }
  return [wholeBuilds(exact), exact, move]
}
