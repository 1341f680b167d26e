import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import type { ChartView } from '../../../server/contract/views.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import type { FrozenLimits } from '../../../src/charts/frozen-limits.ts'
import { type SlowChart, slowChart } from '../../../src/charts/slow-change.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { PAPER, type Palette } from '../../../src/figures/palette.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { cellsOf, chartFixture } from '../../client/fixtures.ts'
import { byTag, number, overlaps, textBoxes, texts } from './drawn.ts'

const NAMED: Palette = {
  ...PAPER,
  under: 'under',
  over: 'over',
  mark: 'mark',
  paper: 'paper',
  soft: 'soft',
  faint: 'faint',
}

interface Wish {
  readonly width?: number
  readonly from?: number
  readonly to?: number
  readonly specification?: boolean
  readonly average?: SlowChart | null
}

function chart(
  view: ChartView,
  { width = 1400, from = 0, to, specification = false, average = null }: Wish = {},
): string {
  return render(
    <ControlChart
      model={view.chart}
      positions={view.chart.subgroups.map((_, i) => i)}
      layout={timelineLayout(width, from, to ?? view.builds.length - 1)}
      buildNames={view.builds.map((build) => build.name)}
      unit="mm"
      decimals={4}
      specification={specification ? view.characteristic : null}
      average={average}
      band={null}
      palette={NAMED}
      label="chart"
    />,
  )
}

const moved = chartFixture('9')
const limits = (view: ChartView, i: number) => {
  const { location } = view.chart
  return [location.upper[i], location.centre[i], location.lower[i]].map((value) => value?.toFixed(4))
}

/** Points, without the rings about some of them. */
function points(svg: string) {
  return byTag(svg, 'circle').filter((circle) => circle.attributes.fill !== 'none')
}

describe('the control chart', () => {
  it('names the limits and their values at the right', () => {
    const words = texts(chart(moved))
    for (const value of limits(moved, 59)) expect(words).toContain(value)
    expect(words).toContain('upper limit')
    expect(words).toContain('centre, 0400 to 0424')
    expect(words).toContain('lower limit')
  })

  it('has the running average laid over the means where it is asked for, on their scale', () => {
    const heavy = (svg: string) =>
      byTag(svg, 'path').filter(({ attributes }) => attributes['stroke-width'] === '2.2')
    expect(heavy(chart(moved))).toEqual([])
    // All weight on the newest build: the average is the points themselves.
    const average = slowChart(moved.chart, { by: 'average', weight: 1, alarm: 370 })
    const svg = chart(moved, { average })
    const [line] = heavy(svg)
    const ends = [...(line?.attributes.d ?? '').matchAll(/[ML]([\d.]+),([\d.]+)/g)].map(([, x, y]) => [
      Number(x),
      Number(y),
    ])
    expect(ends).toHaveLength(60)
    const drawn = points(svg).map((circle) => [number(circle, 'cx'), number(circle, 'cy')])
    for (const end of ends) expect(drawn).toContainEqual(end)
  })

  it('draws a point where its value belongs between the limits', () => {
    const svg = chart(moved)
    const { location } = moved.chart
    const { scale } = timelineLayout(1400, 0, 59)
    const point = points(svg).find((circle) => Math.abs(number(circle, 'cx') - scale.centre(45)) < 0.01)
    const label = (value: number | null | undefined) =>
      number(byTag(svg, 'text').find((text) => text.text === value?.toFixed(4)) as never, 'y') - 4
    const [upper, lower] = [location.upper[45] as number, location.lower[45] as number]
    const share = ((location.values[45] as number) - lower) / (upper - lower)
    const expected = label(lower) + share * (label(upper) - label(lower))
    expect(number(point as never, 'cy')).toBeCloseTo(expected, 1)
  })

  it('shows three panels where builds differ, two where they do not', () => {
    expect(moved.chart.form).toBe('three-way')
    expect(texts(chart(moved))).toContain('step from build to build, mm')
    const { movingRange: _, ...rest } = moved.chart
    const plain = { ...moved, chart: { ...rest, form: 'mean-and-s' as const, movingRange: null } }
    expect(texts(chart(plain))).not.toContain('step from build to build, mm')
    expect(points(chart(plain)).length).toBe(120)
  })

  it('has no label for a limit that does not exist', () => {
    const step = moved.chart.movingRange
    expect(step?.lower.every((value) => value === null)).toBe(true)
    const lower = texts(chart(moved)).filter((text) => text.startsWith('lower limit'))
    const expected = [moved.chart.location, moved.chart.spread].filter((panel) => panel?.lower[59] !== null)
    expect(lower).toHaveLength(expected.length)
  })

  it('draws no point for a build without a value', () => {
    // The first build of a phase has no step from the one before.
    expect(moved.chart.movingRange?.values[0]).toBeNull()
    expect(points(chart(moved))).toHaveLength(60 + 59 + 60)
  })

  it('says the test at the points of a signal, and fills them with the colour of their side', () => {
    const svg = chart(moved)
    const run = moved.chart.signals.find((signal) => signal.test === 'eight-on-one-side')
    expect(texts(svg)).toContain('nineteen in a row below the centre')
    const under = points(svg).filter((circle) => circle.attributes.fill === 'under')
    expect(under.length).toBeGreaterThanOrEqual(run?.points.length ?? Number.POSITIVE_INFINITY)
  })

  it('tells over by open marks, so that colour is not alone', () => {
    const flipped = {
      ...moved,
      chart: {
        ...moved.chart,
        signals: moved.chart.signals.map((signal) => ({ ...signal, side: 'above' as const })),
      },
    }
    const over = points(chart(flipped)).filter((circle) => circle.attributes.stroke === 'over')
    expect(over.length).toBeGreaterThan(0)
    for (const circle of over) expect(circle.attributes.fill).toBe('paper')
  })

  it('dashes provisional limits and says so', () => {
    const young = chartFixture('9', 12)
    const svg = chart(young)
    expect(texts(svg)).toContain('upper limit, provisional')
    expect(texts(svg)).toContain('limits from these 12 builds, provisional')
    expect(byTag(svg, 'path').some((path) => path.attributes['stroke-dasharray'] === '6 4')).toBe(true)
    expect(byTag(chart(moved), 'path').some((path) => path.attributes['stroke-dasharray'] === '6 4')).toBe(
      false,
    )
  })

  it('draws specification limits on request only', () => {
    const spec = (svg: string) => byTag(svg, 'line').filter((line) => line.attributes.stroke === 'mark')
    expect(spec(chart(moved))).toHaveLength(0)
    const svg = chart(moved, { specification: true })
    expect(spec(svg)).toHaveLength(2)
    expect(texts(svg)).toContain('12.4800')
    expect(texts(svg)).toContain('lower specification')
  })

  it('draws the one specification limit that there is', () => {
    const svg = chart(chartFixture('12'), { specification: true })
    expect(texts(svg)).toContain('upper specification')
    expect(texts(svg)).not.toContain('lower specification')
  })

  it('steps the limits where the number of parts differs, and says for how many they hold', () => {
    const { chart: model } = moved
    const spread = model.spread
    if (spread === null) throw new Error('a spread panel is needed here')
    const uneven = {
      ...moved,
      chart: {
        ...model,
        spread: { ...spread, upper: spread.upper.map((value, i) => (value ?? 0) * (i % 2 ? 1.2 : 1)) },
      },
    }
    expect(texts(chart(uneven))).toContain('upper limit, 24 parts')
  })

  it('opens a bracket towards the builds that are out of view', () => {
    const bracket = (svg: string) =>
      byTag(svg, 'path').filter(
        (path) => path.attributes.stroke === 'under' && path.attributes['stroke-width'] === '1.5',
      )
    const ticks = (svg: string) => (bracket(svg)[0]?.attributes.d?.match(/V/g) ?? []).length
    expect(ticks(chart(moved))).toBe(2)
    expect(ticks(chart(moved, { from: 50 }))).toBe(1)
  })

  it('tells phases apart by a line with its reason', () => {
    const { chart: model } = moved
    const [phase] = model.phases
    if (phase === undefined) throw new Error('a phase is needed here')
    const phases = [
      { ...phase, to: 40 },
      { ...phase, from: 41, baselineTo: 59, reason: 'scale Z corrected', provisional: true },
    ]
    expect(texts(chart({ ...moved, chart: { ...model, phases } }))).toContain('from here: scale Z corrected')
    expect(texts(chart(moved)).some((text) => text.startsWith('from here'))).toBe(false)
  })

  it('draws what is left out as open marks with the words, inside the panel', () => {
    const exclusions = [
      { buildId: 20, value: null },
      { buildId: 30, value: 99 },
    ]
    const cells = cellsOf(moved.characteristic, 60)
    const model = buildChart({ ...DEFAULT_STUDY, exclusions }, cells, moved.builds)
    const svg = chart({ ...moved, chart: model })
    expect(texts(svg)).toContain('left out')
    expect(texts(svg)).toContain('one value left out')
    expect(svg.match(/stroke-dasharray="2 1.5"/g)).toHaveLength(2)
    expect(overlaps(svg)).toEqual([])
  })

  it('says that limits are frozen', () => {
    const phases = moved.chart.phases.map((phase) => ({ ...phase, frozen: { who: 'IQ' } as FrozenLimits }))
    expect(texts(chart({ ...moved, chart: { ...moved.chart, phases } }))).toContain(
      'limits frozen, from these 25 builds',
    )
  })

  describe.each([12, 60, 300])('of %i builds', (count) => {
    const view = chartFixture('9', count)

    it.each([360, 390, 600, 900, 1240, 1600])('keeps words apart and inside at %i px', (width) => {
      for (const specification of [false, true]) {
        const svg = chart(view, { width, specification })
        expect(overlaps(svg)).toEqual([])
        for (const box of textBoxes(svg)) {
          expect(box.x0).toBeGreaterThanOrEqual(-1)
          expect(box.x1).toBeLessThanOrEqual(width + 1)
        }
      }
    })
  })

  it('draws a single build without limits', () => {
    const one = chartFixture('9', 1)
    const svg = chart(one)
    expect(points(svg).length).toBeGreaterThanOrEqual(1)
    expect(svg).not.toContain('NaN')
  })
})
