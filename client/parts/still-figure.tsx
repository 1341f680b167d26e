import type { VNode } from 'preact'
import { useMemo } from 'preact/hooks'
import { type Palette, SCREEN } from '../../src/figures/palette.ts'
import type { TableModel } from '../save/csv.ts'
import { Figure } from './figure.tsx'
import { useWidth } from './width.ts'

interface StillFigureProps {
  readonly name: string
  readonly title: string
  draw(palette: Palette, width: number): VNode
  table(): TableModel
  /** What it is drawn from: drawn anew when one of these changes. */
  readonly from: readonly unknown[]
}

/** A figure that is only looked at, as wide as there is room. */
export function StillFigure({ name, title, draw, table, from }: StillFigureProps) {
  const [ref, width] = useWidth()
  const drawn = useMemo(() => (width === null ? null : draw(SCREEN, width)), [width, ...from])
  return (
    <Figure name={name} title={title} draw={draw} table={table}>
      <div ref={ref}>{drawn}</div>
    </Figure>
  )
}
