import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { checkPartChart, movedAt } from '../../../src/gauges/check-part.ts'
import { stepSize } from '../../../src/gauges/resolution.ts'

describe('the chart of a check part', () => {
  it('is the individuals chart of NIST/SEMATECH e-Handbook, 6.3.2.2 (from memory)', () => {
    const values = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
    const chart = checkPartChart(values.map((value, i) => ({ label: `day ${i + 1}`, values: [value] })))
    expect(chart.form).toBe('individuals')
    expect(chart.location.centre[0]).toBeCloseTo(50.81, 9)
    // 50.81 ± 3 · 1.8778 / 1.128, printed 55.8041 and 45.8159.
    expect(chart.location.upper[0]).toBeCloseTo(55.804, 2)
    expect(chart.location.lower[0]).toBeCloseTo(45.816, 2)
    expect(chart.subgroups[9]?.label).toBe('day 10')
    expect(chart.signals).toEqual([])
  })

  it('tells when the gauge has moved', () => {
    const occasions = Array.from({ length: 20 }, (_, i) => ({
      label: String(i),
      values: [10 + 0.01 * ((i * 7) % 5) + (i < 15 ? 0 : 0.2)],
    }))
    expect(checkPartChart(occasions).signals.length).toBeGreaterThan(0)
  })

  it('judges what follows by the first twenty days, whatever the later ones do', () => {
    const days = Array.from({ length: 30 }, (_, i) => ({
      label: `day ${i + 1}`,
      values: [10 + 0.01 * ((i * 7) % 5) + (i < 22 ? 0 : 0.1)],
    }))
    const first = checkPartChart(days.slice(0, 20))
    const all = checkPartChart(days)
    expect(all.location.upper[29]).toBe(first.location.upper[0])
    expect(movedAt(first)).toBeNull()
    expect(movedAt(all)).toBe('day 23')
    expect(all.phases.map(({ provisional }) => provisional)).toEqual([false])
    expect(checkPartChart(days.slice(0, 19)).phases[0]?.provisional).toBe(true)
  })

  it('takes repeated readings, and refuses none', () => {
    const occasions = [1, 2, 3, 4].map((i) => ({ label: String(i), values: [i % 2, 1 + (i % 3), 2] }))
    expect(checkPartChart(occasions).spread).not.toBeNull()
    expect(() => checkPartChart([{ label: '1', values: [] }])).toThrow(ArgumentError)
  })
})

describe('the step of a gauge', () => {
  it('is fine at a tenth of spread and tolerance (common practice)', () => {
    expect(stepSize(0.01, 0.1 / 6, 0.1)).toMatchObject({ fine: true })
    expect(stepSize(0.01, 0.01, 0.1)).toMatchObject({ fine: false })
    expect(stepSize(0.001, null, 0.1)).toEqual({ shareOfSpread: null, shareOfTolerance: 0.01, fine: true })
    expect(stepSize(0.001, null, null).fine).toBeNull()
    expect(() => stepSize(0, null, 1)).toThrow(ArgumentError)
  })
})
