import { describe, expect, it } from 'vitest'
import { cusumChart } from '../../../src/charts/cusum.ts'
import { ArgumentError } from '../../../src/errors.ts'

describe('tabular CUSUM, NIST/SEMATECH e-Handbook 6.3.2.3 (from memory, recomputed from the data)', () => {
  const x = [
    324.93, 324.68, 324.73, 324.35, 325.35, 325.23, 324.13, 324.53, 325.23, 324.6, 324.63, 325.15, 328.33,
    327.25, 327.83, 328.5, 326.68, 327.78, 326.88, 328.35,
  ]
  // In data units the example has sigma 1, so that k 0.3175 and h 4.1959 serve as they are.
  const chart = cusumChart(x, new Array(20).fill(1), 325, {
    reference: 0.3175,
    decision: 4.1959,
    headStart: 0,
  })

  it('gives every printed sum', () => {
    const above = {
      5: 0.03,
      13: 3.01,
      14: 4.94,
      15: 7.46,
      16: 10.64,
      17: 12.0,
      18: 14.46,
      19: 16.03,
      20: 19.06,
    }
    for (const [day, sum] of Object.entries(above)) {
      expect(Math.abs((chart.above[Number(day) - 1] as number) - sum)).toBeLessThanOrEqual(0.0051)
    }
    const below = { 4: 0.33, 7: 0.55, 8: 0.71, 9: 0.16, 10: 0.24, 11: 0.29 }
    for (const [day, sum] of Object.entries(below)) {
      expect(Math.abs((chart.below[Number(day) - 1] as number) - sum)).toBeLessThanOrEqual(0.0051)
    }
  })

  it('signals first at the fourteenth', () => {
    expect(chart.signals[0]).toBe(13)
  })

  it('starts at half the decision interval with the usual head start', () => {
    const fast = cusumChart([0], [1], 0, { reference: 0.5, decision: 4, headStart: 0.5 })
    expect(fast.above[0]).toBe(1.5)
    expect(fast.below[0]).toBe(1.5)
  })

  it('names what it cannot use', () => {
    expect(() => cusumChart([1], [1], 0, { reference: -1, decision: 4, headStart: 0 })).toThrow(ArgumentError)
    expect(() => cusumChart([1], [1], 0, { reference: 0.5, decision: 0, headStart: 0 })).toThrow(/decision/)
    expect(() => cusumChart([1], [1], 0, { reference: 0.5, decision: 4, headStart: 1 })).toThrow(/headStart/)
  })
})
