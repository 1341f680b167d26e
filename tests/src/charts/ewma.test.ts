import { describe, expect, it } from 'vitest'
import { ewmaChart } from '../../../src/charts/ewma.ts'
import { ArgumentError } from '../../../src/errors.ts'

describe('EWMA, NIST/SEMATECH e-Handbook 6.3.2.4 (printed figures from memory, recomputed from the data)', () => {
  const x = [
    52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6,
    52.4, 53.6, 52.1,
  ]
  const printed = [
    50.6, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52, 50.05, 49.38,
    49.92, 50.73, 51.23, 51.94, 51.99,
  ]
  const s = 2.0539
  const chart = ewmaChart(x, new Array(20).fill(s), 50, { weight: 0.3, multiplier: 3 })

  it('gives every printed average', () => {
    for (const [i, value] of printed.entries()) {
      // Two printed decimals: the value rounds to what is printed, a half may go either way.
      expect(Math.abs((chart.values[i] as number) - value)).toBeLessThanOrEqual(0.005 + 1e-9)
    }
  })

  it('tends to the asymptotic limits 52.5884 and 47.4116', () => {
    expect(chart.upper[19]).toBeCloseTo(52.5884, 3)
    expect(chart.lower[19]).toBeCloseTo(47.41157, 3)
  })

  it('has the limits of a single mean at the first point: λ L σ', () => {
    expect((chart.upper[0] as number) - 50).toBeCloseTo(0.3 * 3 * s, 12)
  })

  it('is the chart of the points themselves at weight 1', () => {
    const plain = ewmaChart(x, new Array(20).fill(s), 50, { weight: 1, multiplier: 3 })
    expect([...plain.values]).toEqual(x)
    expect(plain.upper.every((limit) => Math.abs(limit - 50 - 3 * s) < 1e-12)).toBe(true)
  })

  it('names what it cannot use', () => {
    expect(() => ewmaChart([1], [0], 0, { weight: 0.2, multiplier: 3 })).toThrow(ArgumentError)
    expect(() => ewmaChart([Number.NaN], [1], 0, { weight: 0.2, multiplier: 3 })).toThrow(/point 1/)
    expect(() => ewmaChart([1], [1], 0, { weight: 0, multiplier: 3 })).toThrow(/weight/)
    expect(() => ewmaChart([1, 2], [1], 0, { weight: 0.2, multiplier: 3 })).toThrow(/1 standard errors for 2/)
  })
})
