import { panned, type Span, zoomed } from '../data/timeline-span.ts'

export interface SpanControlsProps {
  readonly total: number
  readonly span: Span
  readonly names: readonly string[]
  onSpan(span: Span): void
}

/** What is in view, and buttons for those who neither drag nor press keys. */
export function SpanControls({ total, span, names, onSpan }: SpanControlsProps) {
  const [from, to] = span
  const middle = (from + to) / 2
  const step = Math.max(1, (to - from + 1) / 2)
  const button = (text: string, next: Span) => (
    <button type="button" class="plain" onClick={() => onSpan(next)}>
      {text}
    </button>
  )
  return (
    <p class="actions">
      <span class="quiet">{`Builds ${names[Math.round(from)] ?? ''} to ${names[Math.round(to)] ?? ''}`}</span>
      {button('closer', zoomed(span, total, 0.5, middle))}
      {button('wider', zoomed(span, total, 2, middle))}
      {button('earlier', panned(span, total, -step))}
      {button('later', panned(span, total, step))}
      <span class="quiet">or drag, Ctrl and wheel, keys + − and Shift with arrows</span>
    </p>
  )
}
