import type { VNode } from 'preact'
import { useMemo } from 'preact/hooks'
import { Focus } from '../../src/figures/focus.tsx'
import { type Palette, SCREEN } from '../../src/figures/palette.ts'
import { type TimelineLayout, timelineLayout } from '../../src/figures/timeline-layout.ts'
import type { TableModel } from '../save/csv.ts'
import { Figure } from './figure.tsx'
import { useWidth } from './width.ts'

interface BuildSliderProps {
  readonly name: string
  readonly title: string
  /** What the slider is of, for those who cannot see it. */
  readonly label: string
  readonly span: readonly [number, number]
  readonly focus: number | null
  /** A build in words. */
  words(position: number): string
  draw(layout: TimelineLayout, palette: Palette, live: boolean): VNode
  table(): TableModel
  /** What it is drawn from: drawn anew when one of these changes. */
  readonly from: readonly unknown[]
  onFocus(position: number | null): void
  /** By key; as `onFocus` where it is not given. */
  onMove?(position: number): void
  /** The pointer has left; the build stays in sight where it is not given. */
  onLeave?(): void
  onOpen?(position: number): void
}

/** A figure on the timeline whose builds are pointed at by pointer, or by arrow keys as on a slider. */
export function BuildSlider(props: BuildSliderProps) {
  const { name, title, label, span, focus, words, draw, table, from, onFocus, onOpen } = props
  const onMove = props.onMove ?? onFocus
  const [ref, width] = useWidth()
  const [first, last] = span
  const drawn = useMemo(
    () => (width === null ? null : draw(timelineLayout(width, first, last), SCREEN, true)),
    [width, first, last, ...from],
  )
  const at = Math.max(first, Math.min(last, focus ?? last))
  const positionOf = (event: MouseEvent) => {
    const box = (event.currentTarget as Element).getBoundingClientRect()
    return timelineLayout(width ?? 0, first, last).scale.at(event.clientX - box.left)
  }
  const key = (event: KeyboardEvent) => {
    const next: Readonly<Record<string, number>> = {
      ArrowLeft: at - 1,
      ArrowDown: at - 1,
      ArrowRight: at + 1,
      ArrowUp: at + 1,
      PageDown: at - 10,
      PageUp: at + 10,
      Home: first,
      End: last,
    }
    const to = next[event.key]
    if (to !== undefined) {
      event.preventDefault()
      onMove(Math.max(first, Math.min(last, to)))
    } else if (onOpen !== undefined && (event.key === 'Enter' || event.key === ' ')) {
      event.preventDefault()
      onOpen(at)
    }
  }
  return (
    <Figure
      name={name}
      title={title}
      draw={(palette, wide) => draw(timelineLayout(wide, first, last), palette, false)}
      table={table}
    >
      <div
        ref={ref}
        class="reach"
        role="slider"
        tabIndex={0}
        aria-label={label}
        aria-valuemin={first + 1}
        aria-valuemax={last + 1}
        aria-valuenow={at + 1}
        aria-valuetext={words(at)}
        onClick={(event) => {
          const position = positionOf(event)
          if (position !== null) onOpen?.(position)
        }}
        onPointerMove={(event) => onFocus(positionOf(event))}
        onPointerLeave={props.onLeave}
        onKeyDown={key}
      >
        {drawn}
        {width !== null && focus !== null && focus >= first && focus <= last && (
          <Focus layout={timelineLayout(width, first, last)} position={focus} name={null} palette={SCREEN} />
        )}
      </div>
    </Figure>
  )
}
