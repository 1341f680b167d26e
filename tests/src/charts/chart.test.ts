import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Cell } from '../../../src/domain/cell.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { univariateSet } from '../description/nist-strd.ts'

const study: Study = DEFAULT_STUDY

function cellsOf(groups: readonly (readonly number[])[]): Cell[] {
  return groups.map((values, i) => ({
    ...momentsOf(values),
    characteristicId: 1,
    buildId: i + 1,
    furnaceLoadId: null,
    stage: 'sintered',
  }))
}

function buildsOf(count: number) {
  return Array.from({ length: count }, (_, i) => ({ id: i + 1, name: String(i + 1) }))
}

function chartOf(groups: readonly (readonly number[])[], wanted: Study = study) {
  return buildChart(wanted, cellsOf(groups), buildsOf(groups.length))
}

function michelson(): readonly number[][] {
  const { values } = univariateSet('Michelso')
  expect(values).toHaveLength(100)
  return [0, 20, 40, 60, 80].map((from) => [...values.slice(from, from + 20)])
}

/** c4 for twenty, from tests/reference/control-chart-constants.csv. */
const C4_20 = 0.98693426752465

describe('Michelson’s hundred speeds of light (NIST StRD) as five subgroups of twenty', () => {
  const groups = michelson()
  const chart = chartOf(groups)

  it('has the certified mean as centre', () => {
    const meanChart = chartOf(groups, { ...study, betweenLevel: 0 })
    expect(meanChart.form).toBe('mean-and-s')
    expect(meanChart.phases[0]?.centre).toBeCloseTo(299.8524, 12)
  })

  it('finds that his five runs differ, as the data’s own analysis of variance says', () => {
    expect(chart.form).toBe('three-way')
    expect(chart.phases[0]?.betweenTest?.dfBetween).toBe(4)
    expect(chart.phases[0]?.betweenTest?.dfWithin).toBe(95)
    // R 4: oneway.test(Speed ~ Expt, morley, var.equal = TRUE): F = 4.2878, p = 0.003114 (datasets::morley)
    expect(chart.phases[0]?.betweenTest?.f).toBeCloseTo(4.2878, 4)
    expect(chart.phases[0]?.betweenTest?.p).toBeCloseTo(0.003114, 6)
  })

  it('draws spread limits at B3 and B4 for twenty (ISO 7870-2, ASTM E2587: 0.510 and 1.490)', () => {
    const centre = chart.spread?.centre[0] as number
    expect((chart.spread?.lower[0] as number) / centre).toBeCloseTo(0.51, 3)
    expect((chart.spread?.upper[0] as number) / centre).toBeCloseTo(1.49, 3)
    expect(centre / (chart.phases[0]?.sigmaWithin as number)).toBeCloseTo(C4_20, 12)
  })

  it('marks limits from five subgroups as provisional', () => {
    expect(chart.phases[0]?.provisional).toBe(true)
  })
})

describe('individuals, NIST/SEMATECH e-Handbook 6.3.2.2 (flow rates; printed figures from memory)', () => {
  const rates = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
  const chart = chartOf(rates.map((value) => [value]))

  it('has centre 50.81 and limits 45.8159 and 55.8041 up to the handbook’s three-figure d2', () => {
    expect(chart.form).toBe('individuals')
    expect(chart.spread).toBeNull()
    expect(chart.phases[0]?.centre).toBeCloseTo(50.81, 12)
    // The handbook divides by 1.128 where d2(2) is 1.128379; that moves its limits by 0.0017.
    expect(((chart.location.upper[0] as number) - 50.81) * (1.1283791670955 / 1.128)).toBeCloseTo(
      55.8041 - 50.81,
      4,
    )
    expect(((chart.location.lower[0] as number) - 50.81) * (1.1283791670955 / 1.128)).toBeCloseTo(
      45.8159 - 50.81,
      4,
    )
  })

  it('has a moving range of 1.8778 on average, no range for the first point and no lower limit', () => {
    expect(chart.movingRange?.centre[1]).toBeCloseTo(1.8778, 4)
    expect(chart.movingRange?.values[0]).toBeNull()
    expect(chart.movingRange?.lower.every((limit) => limit === null)).toBe(true)
    // D4 for two: 3.267 (ISO 7870-2, ASTM E2587)
    expect((chart.movingRange?.upper[1] as number) / (chart.movingRange?.centre[1] as number)).toBeCloseTo(
      3.267,
      3,
    )
  })
})

describe('means with s, subgroups of five', () => {
  const groups = [
    [10.1, 9.9, 10.0, 10.2, 9.8],
    [10.0, 10.1, 9.9, 9.8, 10.3],
    [9.9, 10.0, 10.1, 10.2, 9.7],
  ]
  const chart = chartOf(groups)

  it('draws limits at A3 times the centre of s for equal sizes (1.427), and no lower limit of spread (B3 = 0)', () => {
    expect(chart.form).toBe('mean-and-s')
    const reach = (chart.location.upper[0] as number) - (chart.location.centre[0] as number)
    expect(reach / (chart.spread?.centre[0] as number)).toBeCloseTo(1.427, 3)
    expect(chart.spread?.lower[0]).toBeNull()
    expect((chart.spread?.upper[0] as number) / (chart.spread?.centre[0] as number)).toBeCloseTo(2.089, 3)
  })

  it('steps its limits where sizes differ', () => {
    const uneven = chartOf([...groups, [10.0, 10.1]])
    const reach = (i: number) => (uneven.location.upper[i] as number) - (uneven.location.centre[i] as number)
    expect(reach(3) / reach(0)).toBeCloseTo(Math.sqrt(5 / 2), 12)
  })
})

describe('means with ranges', () => {
  const groups = [
    [10.1, 9.9, 10.0, 10.2, 9.8],
    [10.0, 10.1, 9.9, 9.8, 10.3],
    [9.9, 10.0, 10.1, 10.2, 9.7],
  ]
  const chart = chartOf(groups, { ...study, within: 'average-range' })

  it('draws limits at A2, D4 for five (ISO 7870-2, ASTM E2587: 0.577, 2.114) and no D3', () => {
    const range = chart.spread?.centre[0] as number
    expect(chart.spreadStatistic).toBe('range')
    expect(range).toBeCloseTo((0.4 + 0.5 + 0.5) / 3, 12)
    expect(((chart.location.upper[0] as number) - (chart.location.centre[0] as number)) / range).toBeCloseTo(
      0.577,
      3,
    )
    expect((chart.spread?.upper[0] as number) / range).toBeCloseTo(2.114, 3)
    expect(chart.spread?.lower[0]).toBeNull()
  })
})

describe('phases and baselines', () => {
  const level = (mean: number) => [mean - 1, mean, mean + 1]

  it('takes limits from the first subgroups only and judges the later ones by them', () => {
    const quiet = Array.from({ length: 30 }, (_, i) => [i % 2 === 0 ? 1 : -1])
    const chart = chartOf([...quiet.slice(0, 25), [30]])
    expect(chart.phases[0]?.baselineTo).toBe(24)
    expect(chart.phases[0]?.provisional).toBe(false)
    expect(chart.phases[0]?.centre).toBeCloseTo(1 / 25, 12)
    expect(chart.signals.filter((s) => s.panel === 'location').map((s) => s.points)).toEqual([[25]])
  })

  it('never lets a run cross a phase boundary', () => {
    const groups = [...new Array(4).fill(level(1)), ...new Array(4).fill(level(1))]
    const phased: Study = {
      ...study,
      phases: [
        { fromBuild: null, reason: 'start', baselineCount: 25 },
        { fromBuild: 5, reason: 'new furnace', baselineCount: 25 },
      ],
    }
    const chart = chartOf(groups, phased)
    expect(chart.phases.map((phase) => [phase.from, phase.to])).toEqual([
      [0, 3],
      [4, 7],
    ])
    expect(chart.signals).toEqual([])
  })

  it('refuses a study without a phase, or with a phase at a build that is not there', () => {
    expect(() => chartOf([[1]], { ...study, phases: [] })).toThrow(ArgumentError)
    const phases = [{ fromBuild: 99, reason: '', baselineCount: 25 }]
    expect(() => chartOf([[1]], { ...study, phases })).toThrow(/build 99/)
  })
})

describe('what cannot be charted', () => {
  it('gives no limits and no signals where no value differs from another', () => {
    const chart = chartOf([
      [5, 5],
      [5, 5],
      [5, 6],
    ])
    const flat = chartOf([
      [5, 5],
      [5, 5],
    ])
    expect(flat.location.upper.every((limit) => limit === null)).toBe(true)
    expect(flat.signals).toEqual([])
    expect(chart.location.upper.some((limit) => limit !== null)).toBe(true)
  })

  it('charts a single value as a point without limits, and no cells as nothing', () => {
    const single = chartOf([[5]])
    expect(single.location.values).toEqual([5])
    expect(single.location.upper).toEqual([null])
    expect(chartOf([]).phases).toEqual([])
  })
})

describe('properties', () => {
  const groups = fc.array(fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 6 }), {
    minLength: 2,
    maxLength: 40,
  })

  it('does not care how cells were cut up', () => {
    fc.assert(
      fc.property(groups, fc.integer({ min: 1, max: 5 }), (values, cut) => {
        const whole = chartOf(values)
        const pieces = values.flatMap((group, i) =>
          [group.slice(0, cut), group.slice(cut)]
            .filter((piece) => piece.length > 0)
            .map((piece) => ({
              ...momentsOf(piece),
              characteristicId: 1,
              buildId: i + 1,
              furnaceLoadId: null,
              stage: 'sintered' as const,
            })),
        )
        const merged = buildChart(study, pieces.reverse(), buildsOf(values.length))
        for (const [i, value] of whole.location.values.entries()) {
          expect(merged.location.values[i]).toBeCloseTo(value as number, 9)
        }
        expect(merged.phases[0]?.sigmaWithin ?? 0).toBeCloseTo(whole.phases[0]?.sigmaWithin ?? 0, 9)
      }),
    )
  })

  it('moves with a shift and stretches with a scale', () => {
    fc.assert(
      fc.property(groups, (values) => {
        const plain = chartOf(values)
        const moved = chartOf(values.map((group) => group.map((value) => 4 * value + 1024)))
        expect(moved.form).toBe(plain.form)
        for (const [i, limit] of plain.location.upper.entries()) {
          const other = moved.location.upper[i] ?? null
          if (limit === null) expect(other).toBeNull()
          else expect(other).toBeCloseTo(4 * limit + 1024, 6)
        }
      }),
    )
  })
})
