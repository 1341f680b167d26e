import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import type { SlowChart } from '../../../src/charts/slow-change.ts'
import { PAPER } from '../../../src/figures/palette.ts'
import { SlowFigure } from '../../../src/figures/slow-figure.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { byTag, overlaps } from './drawn.ts'

const count = 60
const of = (value: (i: number) => number | null) => Array.from({ length: count }, (_, i) => value(i))
const slow: SlowChart = {
  above: of((i) => (i === 10 ? null : i < 45 ? 0.3 : 3 + i / 10)),
  below: of((i) => (i === 10 ? null : -0.2)),
  upper: of(() => 1),
  lower: of(() => -1),
  signals: [
    { from: 44, to: 59, side: 'above', tests: 50 },
    { from: 46, to: 47, side: 'below', tests: null },
  ],
  multiplier: 1,
}

const figure = (width: number, from = 0) =>
  render(
    <SlowFigure
      slow={slow}
      positions={of((i) => i) as number[]}
      layout={timelineLayout(width, from, count - 1)}
      buildNames={of((i) => i).map((i) => String(400 + (i as number)))}
      palette={PAPER}
      label="slow"
    />,
  )

describe('slow changes', () => {
  it.each([320, 700, 1400])('keep their words apart at %i pixels', (width) => {
    expect(overlaps(figure(width))).toEqual([])
  })

  it('draw both sums, but nothing that is left out or out of view', () => {
    expect(byTag(figure(1400), 'circle')).toHaveLength(2 * (count - 1))
    expect(byTag(figure(1400, 30), 'circle')).toHaveLength(60)
  })
})
