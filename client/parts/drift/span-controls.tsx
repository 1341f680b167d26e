import { useEffect, useReducer } from 'preact/hooks'
import { buildSpan } from '../../../src/words/format.ts'
import { panned, type Span, type Timeline, zoomed } from '../../data/timeline-span.ts'

interface SpanControlsProps {
  readonly timeline: Timeline
  readonly names: readonly string[]
}

/** What is in view, and buttons for those who neither drag nor press keys. */
export function SpanControls({ timeline, names }: SpanControlsProps) {
  const { total, onMove } = timeline
  const [, moved] = useReducer((count: number, _: undefined) => count + 1, 0)
  useEffect(() => onMove(() => moved(undefined)), [onMove])
  const span = timeline.now()
  const [from, to] = span
  const middle = (from + to) / 2
  const step = Math.max(1, (to - from + 1) / 2)
  const button = (text: string, next: Span) => (
    <button type="button" class="plain" onClick={() => timeline.move(next)}>
      {text}
    </button>
  )
  return (
    <p class="actions">
      <span class="quiet in-view">
        {buildSpan(names[Math.round(from)] ?? '', names[Math.round(to)] ?? '')}
      </span>
      {button('closer', zoomed(span, total, 0.5, middle))}
      {button('wider', zoomed(span, total, 2, middle))}
      {button('earlier', panned(span, total, -step))}
      {button('later', panned(span, total, step))}
      <span class="quiet">or drag, Ctrl and wheel, keys + − and Shift with arrows</span>
    </p>
  )
}
