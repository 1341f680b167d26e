import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { changeStudy, type StudyChange, type StudyGround } from '../../../src/charts/change-study.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import { compareCharts } from '../../../src/charts/compare-charts.ts'
import type { Provenance } from '../../../src/charts/frozen-limits.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { cellsOf, timeline } from './groups.ts'

const because: Provenance = { who: 'Ines Quark', at: 1_790_000_000, reason: 'new lining', version: 3 }

/** Builds of four parts: ten around 10, then ten around 12. */
const groups = Array.from({ length: 20 }, (_, i) => {
  const level = (i < 10 ? 10 : 12) + (i % 2 === 0 ? 0.1 : -0.1)
  return [level - 0.2, level - 0.1, level + 0.1, level + 0.2]
})
const ground: StudyGround = { study: DEFAULT_STUDY, cells: cellsOf(groups), builds: timeline(20) }

const change = (what: StudyChange, on: StudyGround = ground): Study => changeStudy(on, what, because)
const chartOf = (study: Study, on: StudyGround = ground) => buildChart(study, on.cells, on.builds)
const onStudy = (study: Study): StudyGround => ({ ...ground, study })

describe('a phase', () => {
  const opened = change({ kind: 'open-phase', build: 11 })

  it('opens with its reason and is judged by limits of its own', () => {
    expect(opened.phases[1]).toEqual({ fromBuild: 11, reason: 'new lining', baselineCount: 25 })
    const chart = chartOf(opened)
    expect(chart.phases.map(({ from, to }) => [from, to])).toEqual([
      [0, 9],
      [10, 19],
    ])
    expect(chart.phases[0]?.centre).toBeCloseTo(10, 12)
    expect(chart.phases[1]?.centre).toBeCloseTo(12, 12)
  })

  it('is joined again to the one before', () => {
    const joined = change({ kind: 'join-phase', build: 15 }, onStudy(opened))
    expect(joined).toEqual(DEFAULT_STUDY)
  })

  it.each<[string, StudyChange, Study]>([
    ['opens once at a build', { kind: 'open-phase', build: 11 }, opened],
    ['does not open where nothing comes before', { kind: 'open-phase', build: 1 }, DEFAULT_STUDY],
    ['does not open at a build that is not there', { kind: 'open-phase', build: 99 }, DEFAULT_STUDY],
    ['is not joined where it is the first', { kind: 'join-phase', build: 5 }, opened],
  ])('%s', (_, what, study) => {
    expect(() => change(what, onStudy(study))).toThrow(ArgumentError)
  })
})

describe('a baseline', () => {
  const chosen = change({ kind: 'choose-baseline', build: 1, span: { from: 11, to: 14 } })

  it('is where the limits of the whole phase come from', () => {
    const [phase] = chartOf(chosen).phases
    expect(phase).toMatchObject({ from: 0, to: 19, baselineFrom: 10, baselineTo: 13, baselineCount: 4 })
    expect(phase?.centre).toBeCloseTo(12, 12)
    expect(phase?.provisional).toBe(true)
  })

  it('passes over what is left out in it, and gives way to the first subgroups where nothing is left of it', () => {
    const without = (builds: readonly number[]) =>
      chartOf({ ...chosen, exclusions: builds.map((buildId) => ({ buildId, value: null })) }).phases[0]
    expect(without([12])).toMatchObject({ baselineFrom: 10, baselineTo: 13, baselineCount: 3 })
    expect(without([11, 12, 13, 14])).toMatchObject({ baselineFrom: 0, baselineCount: 16 })
  })

  it('goes back to the first subgroups', () => {
    const back = change({ kind: 'choose-baseline', build: 20, span: null }, onStudy(chosen))
    expect(chartOf(back)).toEqual(chartOf(DEFAULT_STUDY))
  })

  it.each<[string, { from: number; to: number }]>([
    ['of one build', { from: 3, to: 3 }],
    ['that runs backwards', { from: 9, to: 3 }],
    ['across a phase boundary', { from: 9, to: 12 }],
  ])('%s is refused', (_, span) => {
    const opened = change({ kind: 'open-phase', build: 11 })
    expect(() => change({ kind: 'choose-baseline', build: 5, span }, onStudy(opened))).toThrow(ArgumentError)
  })
})

describe('frozen limits', () => {
  const first = { ...ground, cells: ground.cells.slice(0, 10) }
  const frozen = change({ kind: 'freeze-limits', build: 5 }, first)

  it('say who froze them, when, why and from what', () => {
    expect(frozen.phases[0]?.frozen).toMatchObject({
      ...because,
      firstBuild: 1,
      lastBuild: 10,
      builds: 10,
      values: 40,
    })
    expect(chartOf(frozen).phases[0]).toMatchObject({
      frozen: { who: 'Ines Quark' },
      baselineFrom: 0,
      baselineTo: 9,
      baselineCount: 10,
      provisional: true,
    })
    expect(chartOf(DEFAULT_STUDY).phases[0]?.frozen).toBeNull()
  })

  it('change nothing at the moment of freezing', () => {
    const { phases: before, ...rest } = chartOf(DEFAULT_STUDY, first)
    const { phases: after, ...same } = chartOf(frozen, first)
    expect(same).toEqual(rest)
    expect(after.map((phase) => ({ ...phase, frozen: null }))).toEqual(before)
  })

  it('hold while the record grows, where computed ones would move', () => {
    const computed = chartOf(DEFAULT_STUDY).phases[0]?.centre as number
    expect(computed).toBeCloseTo(11, 12)
    const chart = chartOf(frozen)
    expect(chart.phases[0]?.centre).toBeCloseTo(10, 12)
    expect(new Set(chart.location.upper).size).toBe(1)
    expect(chart.signals.some(({ test }) => test === 'eight-on-one-side')).toBe(true)
  })

  it('keep the form of the chart', () => {
    expect(chartOf(DEFAULT_STUDY).form).toBe('three-way')
    expect(chartOf(frozen).form).toBe(chartOf(DEFAULT_STUDY, first).form)
  })

  it('survive being written down', () => {
    expect(chartOf(JSON.parse(JSON.stringify(frozen)) as Study)).toEqual(chartOf(frozen))
  })

  it('are computed again once released', () => {
    const released = change({ kind: 'release-limits', build: 5 }, onStudy(frozen))
    expect(chartOf(released)).toEqual(chartOf(DEFAULT_STUDY))
  })

  it.each<[string, StudyChange, Study]>([
    ['freeze once', { kind: 'freeze-limits', build: 5 }, frozen],
    ['are released once', { kind: 'release-limits', build: 5 }, DEFAULT_STUDY],
    ['keep their baseline', { kind: 'choose-baseline', build: 5, span: { from: 1, to: 4 } }, frozen],
  ])('%s', (_, what, study) => {
    expect(() => change(what, onStudy(study))).toThrow(ArgumentError)
  })

  it('do not freeze where there are none', () => {
    const single = { ...ground, cells: cellsOf([[5]]), builds: timeline(1) }
    expect(() => change({ kind: 'freeze-limits', build: 1 }, single)).toThrow(/no limits/)
    expect(() => change({ kind: 'freeze-limits', build: 1 }, { ...single, cells: [] })).toThrow(/no limits/)
  })

  it('judge later values by a formula that is easily checked: centre ± 3σ/√n at the σ of the time', () => {
    const study: Study = { ...DEFAULT_STUDY, betweenLevel: 0 }
    const kept = changeStudy({ ...first, study }, { kind: 'freeze-limits', build: 1 }, because)
    const sigma = kept.phases[0]?.frozen?.sigmaWithin as number
    const chart = buildChart(
      kept,
      [...first.cells, ...cellsOf([...groups.slice(0, 10), [11, 13]]).slice(10)],
      ground.builds,
    )
    expect((chart.location.upper[10] as number) - 10).toBeCloseTo((3 * sigma) / Math.SQRT2, 9)
  })
})

describe('tests and estimators', () => {
  it('are the ones chosen', () => {
    const study = change({ kind: 'choose-tests', tests: ['six-steadily', 'six-steadily'] })
    expect(study.tests).toEqual(['six-steadily'])
    const other = change({ kind: 'choose-estimators', within: 'average-range', step: 'median' })
    expect(chartOf(other).spreadStatistic).toBe('range')
  })
})

describe('two charts compared', () => {
  const before = chartOf(DEFAULT_STUDY)
  const after = chartOf(change({ kind: 'open-phase', build: 11 }))

  it('tell which signals come and go', () => {
    expect(before.signals.length).toBeGreaterThan(0)
    expect(compareCharts(before, after)).toEqual({ gained: [], lost: before.signals })
    expect(compareCharts(after, before)).toEqual({ gained: before.signals, lost: [] })
  })

  it('call a run that grows the same one', () => {
    const shorter = {
      ...before,
      signals: [{ panel: 'location', test: 'eight-on-one-side', side: 'below', points: [0, 1, 2] }],
    } as const
    const longer = {
      ...before,
      signals: [{ panel: 'location', test: 'eight-on-one-side', side: 'below', points: [2, 3] }],
    } as const
    expect(compareCharts(shorter, longer)).toEqual({ gained: [], lost: [] })
    const other = {
      ...before,
      signals: [{ panel: 'location', test: 'eight-on-one-side', side: 'below', points: [5, 6] }],
    } as const
    expect(compareCharts(shorter, other)).toEqual({ gained: other.signals, lost: shorter.signals })
  })

  it('say nothing of a chart and itself, and the opposite the other way round', () => {
    const any = fc.array(fc.array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 3 }), {
      minLength: 12,
      maxLength: 40,
    })
    fc.assert(
      fc.property(any, fc.nat({ max: 10 }), (values, k) => {
        const own: StudyGround = {
          study: DEFAULT_STUDY,
          cells: cellsOf(values),
          builds: timeline(values.length),
        }
        const one = chartOf(DEFAULT_STUDY, own)
        const two = chartOf(change({ kind: 'open-phase', build: k + 2 }, own), own)
        expect(compareCharts(one, one)).toEqual({ gained: [], lost: [] })
        const there = compareCharts(one, two)
        const back = compareCharts(two, one)
        expect(back).toEqual({ gained: there.lost, lost: there.gained })
      }),
    )
  })
})
