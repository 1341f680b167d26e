import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { type Exclusion, includedCells } from '../../../src/charts/exclusions.ts'
import type { ChartModel } from '../../../src/charts/model.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { cellsOf, timeline } from './groups.ts'

function chartOf(
  groups: readonly (readonly number[])[],
  exclusions: readonly Exclusion[],
  study?: Partial<Study>,
) {
  return buildChart({ ...DEFAULT_STUDY, ...study, exclusions }, cellsOf(groups), timeline(groups.length))
}

const whole = (buildId: number): Exclusion => ({ buildId, value: null })

describe('a subgroup left out', () => {
  const quiet = Array.from({ length: 10 }, (_, i) => [i % 2 === 0 ? 1 : -1])

  it('keeps its place and figures, without entry in any panel', () => {
    const chart = chartOf(
      [
        [1, 2],
        [40, 60],
        [3, 4],
      ],
      [whole(2)],
    )
    expect(chart.subgroups[1]).toMatchObject({ label: '2', n: 2, mean: 50, leftOut: true })
    expect(chart.location.values).toEqual([1.5, null, 3.5])
    expect(chart.spread?.values[1]).toBeNull()
    expect(chart.phases[0]).toMatchObject({
      baselineFrom: 0,
      baselineTo: 2,
      baselineCount: 2,
      baselineValues: 4,
    })
    expect(chart.phases[0]?.centre).toBe(2.5)
  })

  it('neither counts in a run nor breaks it: eight of nine on one side, the fifth left out', () => {
    const run = [5, 5, 5, 5, -50, 5, 5, 5, 5].map((value) => [value])
    const study: Partial<Study> = {
      phases: [{ fromBuild: null, reason: '', baselineCount: 10 }],
      tests: ['eight-on-one-side'],
    }
    const groups = [...quiet, ...run]
    const runs = ({ signals }: ChartModel) => signals.filter(({ panel }) => panel === 'location')
    expect(runs(chartOf(groups, [], study))).toEqual([])
    expect(runs(chartOf(groups, [whole(15)], study))).toEqual([
      {
        panel: 'location',
        test: 'eight-on-one-side',
        side: 'above',
        points: [10, 11, 12, 13, 15, 16, 17, 18],
      },
    ])
    // One fewer, and the point left out must not make up for it.
    expect(runs(chartOf(groups.slice(0, -1), [whole(15)], study))).toEqual([])
  })

  it('joins its neighbours for the step from build to build', () => {
    const chart = chartOf([[1], [100], [4], [2]], [whole(2)])
    expect(chart.movingRange?.values).toEqual([null, null, 3, 2])
  })

  it('leaves the baseline at as many subgroups as were asked for', () => {
    const groups = Array.from({ length: 30 }, (_, i) => [i, i + 1])
    const [phase] = chartOf(groups, [whole(1), whole(3)]).phases
    expect(phase).toMatchObject({ baselineFrom: 1, baselineTo: 26, baselineCount: 25, provisional: false })
  })

  it('leaves a phase without limits where nothing else is in it', () => {
    const chart = chartOf([[1, 2]], [whole(1)])
    expect(chart.phases).toEqual([])
    expect(chart.subgroups).toHaveLength(1)
    expect(chart.location.centre).toEqual([null])
  })
})

describe('single values left out', () => {
  it('are kept with their subgroup, whose cells do not hold them', () => {
    const chart = chartOf(
      [
        [1, 2],
        [3, 5],
      ],
      [{ buildId: 2, value: 400 }],
    )
    expect(chart.subgroups[1]).toMatchObject({ n: 2, mean: 4, leftOut: false, leftOutValues: [400] })
    expect(chart.subgroups[0]?.leftOutValues).toEqual([])
  })

  it('leave out a subgroup that has no other, and show it by them', () => {
    const cells = cellsOf([[1], [2], [3]]).filter((cell) => cell.buildId !== 2)
    const study = { ...DEFAULT_STUDY, exclusions: [{ buildId: 2, value: 70 }] }
    const chart = buildChart(study, cells, timeline(3))
    expect(chart.subgroups[1]).toMatchObject({ n: 1, mean: 70, leftOut: true, leftOutValues: [70] })
    expect(chart.form).toBe('individuals')
    expect(chart.location.values).toEqual([1, null, 3])
  })
})

describe('cells to compute with', () => {
  it('are those of subgroups that are not left out as a whole', () => {
    const cells = cellsOf([[1], [2], [3]])
    expect(includedCells(cells, [whole(2), { buildId: 1, value: 9 }]).map((cell) => cell.buildId)).toEqual([
      1, 3,
    ])
    expect(includedCells(cells, [])).toBe(cells)
  })
})

describe('properties', () => {
  const groups = fc.array(fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 5 }), {
    minLength: 2,
    maxLength: 50,
  })

  it('a chart with subgroups left out is the chart without them: limits, steps and signals', () => {
    fc.assert(
      fc.property(groups, fc.infiniteStream(fc.boolean()), fc.nat({ max: 49 }), (values, choice, start) => {
        const out = new Set(values.flatMap((_, i) => (choice.next().value ? [i] : [])))
        const kept = values.flatMap((_, i) => (out.has(i) ? [] : [i]))
        const phases = [
          ...DEFAULT_STUDY.phases,
          ...(start > 0 && start < values.length
            ? [{ fromBuild: start + 1, reason: 'new furnace', baselineCount: 4 }]
            : []),
        ]
        const study = { ...DEFAULT_STUDY, phases }
        const all = cellsOf(values)
        const builds = timeline(values.length)
        const marked = buildChart({ ...study, exclusions: [...out].map((i) => whole(i + 1)) }, all, builds)
        const bare = buildChart(
          study,
          all.filter((cell) => !out.has(cell.buildId - 1)),
          builds,
        )
        expect(marked.subgroups).toHaveLength(values.length)
        expect(marked.form).toBe(bare.form)
        expect(marked.signals).toEqual(
          bare.signals.map((signal) => ({ ...signal, points: signal.points.map((i) => kept[i]) })),
        )
        for (const panel of ['location', 'movingRange', 'spread'] as const) {
          for (const key of ['values', 'centre', 'lower', 'upper', 'sigma'] as const) {
            expect(marked[panel] === null).toBe(bare[panel] === null)
            expect(kept.map((i) => marked[panel]?.[key][i])).toEqual(
              bare[panel]?.[key] ?? kept.map(() => undefined),
            )
            for (const i of out) expect(marked[panel]?.[key][i] ?? null).toBeNull()
          }
        }
        const figures = ({ phases }: ChartModel) =>
          phases.map(({ centre, sigmaWithin, dfWithin, sigmaMeans, sigmaBetween, baselineCount }) => ({
            centre,
            sigmaWithin,
            dfWithin,
            sigmaMeans,
            sigmaBetween,
            baselineCount,
          }))
        expect(figures(marked)).toEqual(figures(bare))
      }),
    )
  })
})
