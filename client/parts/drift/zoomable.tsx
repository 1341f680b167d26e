import type { ComponentChildren } from 'preact'
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { panned, type Span, type Timeline, zoomed } from '../../data/timeline-span.ts'
import { movingPictures } from './moving-pictures.ts'

interface ZoomableProps {
  readonly timeline: Timeline
  readonly children: ComponentChildren
}

/** Pixels that a pointer moves before it drags instead of picking. */
const DRAG_FROM = 6
const KEY_FACTOR = 1.5

/**
 * Figures on the timeline that can be brought closer and moved: wheel with Ctrl or a pinch, sideways wheel or a drag,
 * keys plus and minus, Shift with the arrow keys, 0 for all.
 */
export function Zoomable({ timeline, children }: ZoomableProps) {
  const ref = useRef<HTMLDivElement>(null)
  const now = useRef(timeline)
  now.current = timeline
  const pictures = useRef<ReturnType<typeof movingPictures> | null>(null)
  useEffect(() => {
    const element = ref.current
    if (element === null) return
    const moved = movingPictures(element)
    pictures.current = moved
    const stops = [
      listen(element, () => now.current),
      timeline.onMove(() => moved.show(now.current.drawn, now.current.now())),
      moved.clear,
    ]
    return () => {
      for (const stop of stops) stop()
    }
  }, [])
  const { drawn } = timeline
  // The figures are drawn anew: what was moved in their place is of no use any more. The next move makes new pictures,
  // in a frame of its own.
  useLayoutEffect(() => pictures.current?.clear(), [drawn[0], drawn[1]])
  const key = (event: KeyboardEvent) => {
    const { total } = timeline
    const span = timeline.now()
    const middle = (span[0] + span[1]) / 2
    const step = Math.max(1, (span[1] - span[0] + 1) / 4)
    const next =
      event.key === '+' || event.key === '='
        ? zoomed(span, total, 1 / KEY_FACTOR, middle)
        : event.key === '-' || event.key === '_'
          ? zoomed(span, total, KEY_FACTOR, middle)
          : event.key === '0'
            ? zoomed(span, total, Number.POSITIVE_INFINITY, middle)
            : event.shiftKey && event.key === 'ArrowLeft'
              ? panned(span, total, -step)
              : event.shiftKey && event.key === 'ArrowRight'
                ? panned(span, total, step)
                : null
    if (next === null || (event.target as Element).matches('input, select, textarea')) return
    if (event.ctrlKey || event.metaKey || event.altKey) return
    event.preventDefault()
    event.stopPropagation()
    timeline.move(next)
  }
  return (
    <div ref={ref} onKeyDownCapture={key}>
      {children}
    </div>
  )
}

interface Pinch {
  readonly distance: number
  readonly middle: number
}

function listen(element: HTMLElement, now: () => Timeline): () => void {
  const stop = new AbortController()
  const on = <K extends keyof HTMLElementEventMap>(
    name: K,
    listener: (event: HTMLElementEventMap[K]) => void,
    options: AddEventListenerOptions = {},
  ) => element.addEventListener(name, listener, { ...options, signal: stop.signal })
  const pointers = new Map<number, number>()
  let dragged = false
  let start: { x: number; span: Span } | null = null
  let pinch: Pinch | null = null

  const scaleOf = (target: Element) => {
    const box = (target.closest('.reach') ?? element).getBoundingClientRect()
    const [from, to] = now().now()
    return { box, scale: timelineLayout(box.width, from, to).scale }
  }
  const positionAt = (target: Element, x: number) => {
    const { box, scale } = scaleOf(target)
    const inside = Math.max(scale.x0, Math.min(scale.x1, x - box.left))
    return scale.from + (inside - scale.x0) / scale.step - 0.5
  }
  const reached = (event: Event) => event.target instanceof Element && event.target.closest('.reach') !== null

  on(
    'wheel',
    (event) => {
      if (!reached(event)) return
      const { total, move, ...timeline } = now()
      const span = timeline.now()
      const target = event.target as Element
      if (event.ctrlKey || event.metaKey) {
        event.preventDefault()
        move(zoomed(span, total, Math.exp(event.deltaY * 0.004), positionAt(target, event.clientX)))
      } else if (event.deltaX !== 0 || event.shiftKey) {
        event.preventDefault()
        const by = event.deltaX !== 0 ? event.deltaX : event.deltaY
        move(panned(span, total, by / scaleOf(target).scale.step))
      }
    },
    { passive: false },
  )
  on('pointerdown', (event) => {
    if (!reached(event) || (event.pointerType === 'mouse' && event.button !== 0)) return
    pointers.set(event.pointerId, event.clientX)
    dragged = false
    start = pointers.size === 1 ? { x: event.clientX, span: now().now() } : null
    pinch = pointers.size === 2 ? pinchOf(pointers) : null
  })
  on('pointermove', (event) => {
    if (!pointers.has(event.pointerId)) return
    pointers.set(event.pointerId, event.clientX)
    const { total, move, ...timeline } = now()
    const span = timeline.now()
    const target = event.target as Element
    if (pinch !== null && pointers.size === 2) {
      dragged = true
      const next = pinchOf(pointers)
      const { step } = scaleOf(target).scale
      const moved = panned(span, total, (pinch.middle - next.middle) / step)
      move(zoomed(moved, total, pinch.distance / next.distance, positionAt(target, next.middle)))
      pinch = next
    } else if (start !== null && (dragged || Math.abs(event.clientX - start.x) >= DRAG_FROM)) {
      if (!dragged) element.setPointerCapture(event.pointerId)
      dragged = true
      move(panned(start.span, total, (start.x - event.clientX) / scaleOf(target).scale.step))
    }
  })
  const end = (event: PointerEvent) => {
    pointers.delete(event.pointerId)
    start = null
    pinch = null
  }
  on('pointerup', end)
  on('pointercancel', end)
  // What was a drag picks nothing.
  on(
    'click',
    (event) => {
      if (dragged) event.stopPropagation()
      dragged = false
    },
    { capture: true },
  )
  return () => stop.abort()
}

function pinchOf(pointers: ReadonlyMap<number, number>): Pinch {
  const [a, b] = [...pointers.values()] as [number, number]
  return { distance: Math.max(20, Math.abs(a - b)), middle: (a + b) / 2 }
}
