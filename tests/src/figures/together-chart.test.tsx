import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import type { TogetherChart } from '../../../src/charts/together.ts'
import { PAPER } from '../../../src/figures/palette.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { TogetherFigure } from '../../../src/figures/together-chart.tsx'
import { byTag, overlaps, texts } from './drawn.ts'

const chart: TogetherChart = {
  judged: [0, 1, 2, 3],
  leftOut: [],
  baseline: { from: 0, to: 24, count: 25 },
  points: Array.from({ length: 60 }, (_, position) => {
    const outside = position > 50
    return {
      position,
      t2: outside ? 90 + position : 5 + (position % 7),
      limit: position < 25 ? 14 : 20,
      p: 0.5,
      outside,
      moved: outside ? [0, 1, 2, 3] : [],
      missing: position === 40 ? [2] : [],
    }
  }),
}
const buildNames = chart.points.map(({ position }) => String(400 + position))

const figure = (width: number, from = 0, to = 59) =>
  render(
    <TogetherFigure
      chart={chart}
      layout={timelineLayout(width, from, to)}
      buildNames={buildNames}
      designators={['1', '2', '3', '10']}
      palette={PAPER}
      label="together"
    />,
  )

describe('the chart of all characteristics together', () => {
  it.each([320, 700, 1400])('keeps its words apart at %i pixels', (width) => {
    expect(overlaps(figure(width))).toEqual([])
  })

  it('names what moved at points outside, three at most, and marks gaps by open points', () => {
    const svg = figure(1400)
    expect(texts(svg)).toContain('1, 2, 3 …')
    expect(byTag(svg, 'circle')).toHaveLength(60)
    expect(byTag(svg, 'circle').filter((circle) => circle.attributes.fill === PAPER.paper)).toHaveLength(1)
  })

  it('draws only what is in view', () => {
    expect(byTag(figure(1400, 30, 59), 'circle')).toHaveLength(30)
  })
})
