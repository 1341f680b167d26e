import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import type { PhaseLimits } from '../../../src/charts/model.ts'
import { pointError } from '../../../src/charts/point-error.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { CHARACTERISTICS, cellsOf, timeline } from '../../client/fixtures.ts'

const phase = { sigmaWithin: 0.6, sigmaBetween: 0.4, sigmaMeans: 0.5 } as PhaseLimits

describe('the standard error of a plotted point', () => {
  it('is that inside builds over the root of the parts where builds are alike', () => {
    expect(pointError(phase, 'mean-and-s', 9)).toBeCloseTo(0.2, 12)
  })

  it('adds the variance between builds where they differ', () => {
    expect(pointError(phase, 'three-way', 4)).toBeCloseTo(0.5, 12)
    expect(pointError(phase, 'three-way', 1e12)).toBeCloseTo(0.4, 9)
  })

  it('is that of the steps for single values, whatever the number of parts', () => {
    expect(pointError(phase, 'individuals', 4)).toBe(0.5)
  })

  it('is null where there is no spread', () => {
    expect(pointError({ ...phase, sigmaWithin: 0 }, 'mean-and-s', 4)).toBeNull()
    expect(pointError({ ...phase, sigmaMeans: null }, 'individuals', 4)).toBeNull()
  })

  it('is that of the chart for as many parts as its points stand for', () => {
    const [characteristic] = CHARACTERISTICS
    if (characteristic === undefined) throw new Error('no characteristic')
    const chart = buildChart(DEFAULT_STUDY, cellsOf(characteristic, 40), timeline(40))
    const [limits] = chart.phases
    if (limits === undefined) throw new Error('no phase')
    const n = chart.subgroups[0]?.n as number
    expect(pointError(limits, chart.form, n)).toBeCloseTo(chart.location.sigma[0] as number, 4)
  })
})
