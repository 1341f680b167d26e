import { describe, expect, it } from 'vitest'
import type { Signal } from '../../../src/charts/model.ts'
import { falseAlarmsPerBuild, typicalSize } from '../../../src/events/false-alarm-rate.ts'
import { normalSource } from '../run-length/simulation.ts'

const rate = (panel: Signal['panel'], test: Signal['test'] = 'beyond-three-sigma', size = 10) =>
  falseAlarmsPerBuild({ panel, test }, size)

describe('location', () => {
  it('one point beyond three sigma: once in 370.4 builds (any table of the normal distribution)', () => {
    expect(1 / rate('location')).toBeCloseTo(370.4, 1)
  })

  it('eight on one side: every 255 builds, 2⁸ − 1, of either side', () => {
    expect(1 / rate('location', 'eight-on-one-side')).toBeCloseTo(255, 6)
  })

  it('six steadily rising or falling: as often as by simulation', () => {
    const normal = normalSource(32)
    const points = 300_000
    let signals = 0
    let run = 1
    let last = normal()
    let direction = 0
    for (let i = 1; i < points; i++) {
      const value = normal()
      const step = Math.sign(value - last)
      run = step === direction ? run + 1 : 2
      direction = step
      last = value
      if (run === 6) {
        signals++
        // The count of points to the next signal begins anew.
        run = 1
        direction = 0
        last = normal()
      }
    }
    const p = rate('location', 'six-steadily')
    expect(Math.abs(signals / points - p) / p).toBeLessThan(4 / Math.sqrt(signals))
  })
})

describe('moving range and spread', () => {
  it('a moving range beyond D4: 0.92 % of them (half-normal tail at 3.267 · 1.128)', () => {
    // D4 = 3.267 and d2 = 1.128 from the handbook tables; upper tail of the normal at 3.267 · 1.128/√2 = 2.606.
    expect(rate('moving-range')).toBeCloseTo(0.00916, 4)
  })

  it('a range of five beyond D1 and D2: once in 217 builds, and a range of two as a moving range', () => {
    // By SciPy, integrating Tippett's distribution of the range: tests/reference/audit/formulas.py, spread_alarm.
    const range = (size: number) =>
      1 / falseAlarmsPerBuild({ panel: 'spread', test: 'beyond-three-sigma' }, size, 'range')
    expect(range(5)).toBeCloseTo(217.2473339504964, 6)
    expect(range(9)).toBeCloseTo(229.72525308291426, 5)
    expect(range(2) * rate('moving-range')).toBeCloseTo(1, 10)
  })

  it('a standard deviation of ten beyond three sigma, as often as by simulation', () => {
    const normal = normalSource(33)
    // c4(10) = 0.9727 from the handbook tables.
    const reach = 3 * Math.sqrt(1 - 0.9727 ** 2)
    const runs = 60_000
    let beyond = 0
    for (let run = 0; run < runs; run++) {
      const values = Array.from({ length: 10 }, normal)
      const mean = values.reduce((sum, value) => sum + value, 0) / 10
      const sd = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 9)
      if (Math.abs(sd - 0.9727) > reach) beyond++
    }
    const p = rate('spread')
    expect(Math.abs(beyond / runs - p)).toBeLessThan(4 * Math.sqrt(p / runs))
  })
})

describe('the typical size', () => {
  it('is the median, of an even number the upper of the two in the middle, and two at least', () => {
    const of = (...sizes: number[]) => typicalSize(sizes.map((n) => ({ n })))
    expect(of(5, 100, 7)).toBe(7)
    expect(of(12, 5, 7, 100)).toBe(12)
    expect(of(1, 1, 9)).toBe(2)
    expect(of()).toBe(2)
  })
})
