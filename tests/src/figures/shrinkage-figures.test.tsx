import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { PAPER } from '../../../src/figures/palette.ts'
import { ReplayChart } from '../../../src/figures/replay-chart.tsx'
import { SharesChart, sharesWords } from '../../../src/figures/shares-chart.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import type { ExplainedShare } from '../../../src/shrinkage/shares.ts'
import { byTag, number, overlaps, texts } from './drawn.ts'

const deviations = Array.from({ length: 40 }, (_, i) => 0.1 * Math.sin(i))
const rows = ['as printed', 'as advised', 'corrected on every build'].map((name, i) => ({
  name,
  deviations: deviations.map((deviation) => deviation * (i + 1)),
  meanSquare: 0.0012 * (i + 1) ** 2,
  changes: i,
}))
const replay = (width: number) =>
  render(
    <ReplayChart
      rows={rows}
      positions={deviations.map((_, i) => i)}
      layout={timelineLayout(width, 10, 39)}
      buildNames={deviations.map((_, i) => String(400 + i))}
      palette={PAPER}
      label="rules"
    />,
  )

describe('rules played again', () => {
  it('draw each build in view once a rule, on one scale', () => {
    const circles = byTag(replay(1200), 'circle')
    expect(circles).toHaveLength(3 * 30)
    const reach = (row: number) => {
      const ys = circles.slice(30 * row, 30 * (row + 1)).map((circle) => number(circle, 'cy'))
      return Math.max(...ys) - Math.min(...ys)
    }
    expect(reach(2) / reach(0)).toBeCloseTo(3, 1)
  })

  it('state the mean square of each', () => {
    expect(texts(replay(1200))).toEqual(
      expect.arrayContaining(['mean square 0.0012 %²', 'mean square 0.0048 %²', 'mean square 0.0108 %²']),
    )
  })

  it.each([320, 600, 900, 1440])('keep their words apart at %i pixels', (width) =>
    expect(overlaps(replay(width))).toEqual([]),
  )
})

describe('shares of variance', () => {
  const share = (factor: ExplainedShare['factor'], ofAll: number, p: number): ExplainedShare => ({
    factor,
    level: 'builds',
    share: ofAll,
    ofAll,
    f: 5,
    df: [2, 57],
    p,
  })
  const drawnAt = (width: number) =>
    render(
      <SharesChart
        shares={[share('powder lot', 0.46, 1e-6), share('height in bed', 0.03, 0.2)]}
        width={width}
        palette={PAPER}
        label="shares"
      />,
    )

  it('are named in a sentence where they are more than chance', () => {
    const lot = share('powder lot', 0.46, 1e-6)
    expect(sharesWords([share('tray', 0.02, 0.001), lot, share('furnace', 0.1, 0.2)])).toBe(
      'Shrinkage goes with powder lot (46 %) and tray (2 %) by more than chance (p below 0.01).',
    )
    expect(sharesWords([share('furnace', 0.1, 0.2)])).toMatch(/^No recorded condition/)
  })

  it('draw bars as long as the share and say in words what is more than chance', () => {
    const [lot, height] = byTag(drawnAt(1000), 'rect').map((bar) => number(bar, 'width'))
    expect((lot as number) / (height as number)).toBeCloseTo(0.46 / 0.03, 1)
    expect(texts(drawnAt(1000))).toEqual(
      expect.arrayContaining(['46 %, more than chance', '3 %, as chance would']),
    )
  })

  it.each([320, 600, 1000])('keep their words apart at %i pixels', (width) =>
    expect(overlaps(drawnAt(width))).toEqual([]),
  )
})
