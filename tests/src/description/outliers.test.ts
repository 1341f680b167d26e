import { describe, expect, it } from 'vitest'
import { outlierTest } from '../../../src/description/outliers.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

describe("Rosner's 54 values (NIST/SEMATECH e-Handbook 1.3.5.17.3)", () => {
  const values = [
    -0.25, 0.68, 0.94, 1.15, 1.2, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.7,
    1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.1, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.4,
    2.47, 2.54, 2.62, 2.64, 2.9, 2.92, 2.92, 2.93, 3.21, 3.26, 3.3, 3.59, 3.68, 4.3, 4.64, 5.34, 5.42, 6.01,
  ]
  const { steps, outliers } = outlierTest(values, 10, 0.05)

  it('statistics and critical values to every printed digit', () => {
    expect(steps.map((step) => step.statistic.toFixed(3))).toEqual([
      '3.119',
      '2.943',
      '3.179',
      '2.810',
      '2.816',
      '2.848',
      '2.279',
      '2.310',
      '2.102',
      '2.067',
    ])
    expect(steps.map((step) => step.critical.toFixed(3))).toEqual([
      '3.159',
      '3.151',
      '3.144',
      '3.136',
      '3.128',
      '3.120',
      '3.112',
      '3.103',
      '3.094',
      '3.085',
    ])
  })

  it('finds three, though the first two steps alone are not significant', () => {
    expect(outliers.map((index) => values[index])).toEqual([6.01, 5.42, 5.34])
  })
})

describe('edges', () => {
  it('stops where the values left are all the same', () => {
    const { steps, outliers } = outlierTest([5, 5, 5, 5, 9, 5, 5, 5], 3, 0.05)
    expect(steps).toHaveLength(1)
    expect(outliers).toEqual([4])
    expect(outlierTest([5, 5, 5], 1, 0.05)).toEqual({ steps: [], outliers: [] })
  })

  it('refuses what cannot be tested', () => {
    expect(() => outlierTest([1, 2, 3], 2, 0.05)).toThrow(ArgumentError)
    expect(() => outlierTest([1, 2, 3], 1, 0)).toThrow(ArgumentError)
    expect(() => outlierTest([1, 2, Number.NaN, 4], 1, 0.05)).toThrow(ArgumentError)
  })
})

it('finds something in about the stated share of normal samples (fixed seed)', () => {
  const normal = normalSource(81)
  const runs = 2000
  let alarms = 0
  for (let run = 0; run < runs; run++) {
    if (outlierTest(Array.from({ length: 40 }, normal), 4, 0.05).outliers.length > 0) alarms++
  }
  expect(Math.abs(alarms / runs - 0.05)).toBeLessThanOrEqual(4 * Math.sqrt((0.05 * 0.95) / runs))
})
