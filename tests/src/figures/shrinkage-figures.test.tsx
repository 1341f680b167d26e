import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { OutcomeChart } from '../../../src/figures/outcome-chart.tsx'
import { PAPER } from '../../../src/figures/palette.ts'
import { PlaceEffectsMap } from '../../../src/figures/place-effects-map.tsx'
import { ReplayChart } from '../../../src/figures/replay-chart.tsx'
import { SharesChart, sharesWords } from '../../../src/figures/shares-chart.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import type { Outcome } from '../../../src/shrinkage/outcome.ts'
import type { PlaceEffect, PlaceEffects, PlaceName } from '../../../src/shrinkage/place-effects.ts'
import type { ExplainedShare } from '../../../src/shrinkage/shares.ts'
import { byTag, type DrawnElement, number, overlaps, texts } from './drawn.ts'

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

describe('what came of a decision', () => {
  const outcome = (id: number, difference: number): Outcome => ({
    characteristic: {
      id,
      designator: String(id),
      name: 'length overall between the outer faces',
      kind: 'length',
      nominal: 42,
      lower: 41.9,
      upper: 42.1,
      unit: 'mm',
      axis: 'X',
    },
    predicted: 42,
    observed: 42 + difference,
    builds: 2,
    parts: 12,
    difference,
    allowed: { value: 0, standardError: 0.01, lower: -0.02, upper: 0.02, df: 50 },
    held: Math.abs(difference) <= 0.02,
  })
  const drawn = (width: number) =>
    render(
      <OutcomeChart
        outcomes={[outcome(1, 0.01), outcome(2, -0.04)]}
        width={width}
        palette={PAPER}
        label="came"
      />,
    )

  it('stands beside the prediction in units of what was allowed', () => {
    const html = drawn(1000)
    const [band] = byTag(html, 'rect')
    const [held, missed] = byTag(html, 'circle').map((circle) => number(circle, 'cx'))
    const left = number(band as DrawnElement, 'x')
    const half = number(band as DrawnElement, 'width') / 2
    expect(((held as number) - left - half) / half).toBeCloseTo(0.5, 1)
    expect(((missed as number) - left - half) / half).toBeCloseTo(-2, 1)
    expect(texts(html).join(' ')).toMatch(/held.*did not hold/)
  })

  it.each([340, 600, 1000])('keeps its words apart at %i pixels', (width) =>
    expect(overlaps(drawn(width))).toEqual([]),
  )
})

describe('effects of places', () => {
  const effect = (place: PlaceName, value: number): PlaceEffect => ({
    place,
    parts: 20,
    value,
    standardError: 1e-4,
  })
  const places: PlaceEffects = {
    residual: 1e-7,
    parts: 300,
    builds: 30,
    components: [
      {
        kind: 'place in plan',
        variance: 1e-8,
        effects: [0, 1, 2, 3, 4].flatMap((x) =>
          [0, 1, 2].map((y) =>
            effect({ x: [70 * x, 70 * x + 70], y: [70 * y, 70 * y + 70] }, 1e-4 * (x - 2)),
          ),
        ),
      },
      {
        kind: 'height in bed',
        variance: 1e-8,
        effects: [0, 1, 2].map((z) => effect({ z: [30 * z, 30 * z + 30] }, 1e-4 * (1 - z))),
      },
      { kind: 'tray', variance: 1e-8, effects: ['F1 10', 'F1 2'].map((tray) => effect({ tray }, 2e-4)) },
    ],
  }
  const drawn = (width: number) =>
    render(<PlaceEffectsMap places={places} width={width} palette={PAPER} label="places" />)

  it('give every box, layer and tray its figure, trays in their order', () => {
    const words = texts(drawn(1000))
    expect(words.filter((word) => word === '+0.020')).toHaveLength(3 + 2)
    expect(words.filter((word) => word === '−0.020')).toHaveLength(3)
    const order = words.filter((word) => word.includes('F1'))
    expect(order[0]).toContain('F1 2,')
    expect(order[1]).toContain('F1 10,')
  })

  it.each([340, 600, 1000])('keep their words apart at %i pixels', (width) =>
    expect(overlaps(drawn(width))).toEqual([]),
  )
})
