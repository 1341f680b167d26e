import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { standardisedChart } from '../../../src/charts/standardised.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

const point = { n: 4, mean: 10.02, sd: 0.01, target: 10, sigma: 0.02 }

describe('several nominals on one scale', () => {
  it('a mean of four one sigma off its target lies two standard errors out', () => {
    expect(standardisedChart([point], WESTERN_ELECTRIC).location[0]).toBeCloseTo(2, 12)
  })

  it('spread is counted from c4 σ; c4(4) 0.92131773192356 is in tests/reference/control-chart-constants.csv', () => {
    const c4 = 0.92131773192356
    expect(standardisedChart([point], WESTERN_ELECTRIC).spread[0]).toBeCloseTo(
      (0.5 - c4) / Math.sqrt(1 - c4 * c4),
      9,
    )
    expect(standardisedChart([{ ...point, n: 1, sd: null }], WESTERN_ELECTRIC).spread).toEqual([null])
  })

  it('finds the signals that a chart of one characteristic finds', () => {
    const normal = normalSource(31)
    const groups = Array.from({ length: 40 }, (_, i) =>
      momentsOf(Array.from({ length: 3 + (i % 4) }, () => 5 + normal() + (i > 25 ? 0.8 : 0))),
    )
    const cells = groups.map((moments, i) => ({
      ...moments,
      characteristicId: 1,
      buildId: i,
      furnaceLoadId: null,
      stage: 'sintered' as const,
    }))
    const chart = buildChart(
      { ...DEFAULT_STUDY, betweenLevel: 0 },
      cells,
      cells.map(({ buildId }) => ({ id: buildId, name: String(buildId) })),
    )
    const phase = chart.phases[0]
    const mixed = standardisedChart(
      chart.subgroups.map(({ n, mean, sd }) => ({
        n,
        mean,
        sd,
        target: phase?.centre as number,
        sigma: phase?.sigmaWithin as number,
      })),
      WESTERN_ELECTRIC,
    )
    const byPlace = (signals: typeof chart.signals) =>
      signals.map((signal) => JSON.stringify(signal)).toSorted()
    expect(chart.signals.length).toBeGreaterThan(2)
    expect(byPlace(mixed.signals)).toEqual(byPlace(chart.signals))
  })

  it('names what it cannot use', () => {
    expect(() => standardisedChart([{ ...point, sigma: 0 }], WESTERN_ELECTRIC)).toThrow(ArgumentError)
    expect(() => standardisedChart([{ ...point, n: 0 }], WESTERN_ELECTRIC)).toThrow(/0 values/)
    expect(() => standardisedChart([{ ...point, mean: Number.NaN }], WESTERN_ELECTRIC)).toThrow(/not finite/)
  })
})
