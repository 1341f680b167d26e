import { describe, expect, it } from 'vitest'
import { normalLower, normalUpper, normalWithin } from '../../../src/distributions/normal.ts'
import { normalRangeLower, normalRangeUpper } from '../../../src/distributions/normal-range.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

describe('range of normal values', () => {
  it('agrees with sums in mpmath', () => {
    const rows = referenceTable('normal-range.csv', ['w', 'n', 'lower', 'upper'])
    expect(rows.length).toBeGreaterThan(40)
    for (const { w, n, lower, upper } of rows) {
      expect(relativeError(normalRangeLower(w, n), lower), `lower ${w}, ${n}`).toBeLessThan(1e-11)
      expect(relativeError(normalRangeUpper(w, n), upper), `upper ${w}, ${n}`).toBeLessThan(1e-11)
    }
  })
  it('of two values is √2 times the absolute value of one', () => {
    for (const z of [1e-8, 0.1, 1, 4, 20, 30]) {
      const w = z * Math.SQRT2
      expect(relativeError(normalRangeUpper(w, 2), 2 * normalUpper(z))).toBeLessThan(1e-12)
      expect(relativeError(normalRangeLower(w, 2), normalWithin(0, z))).toBeLessThan(1e-12)
    }
  })
  it('ends at zero and infinity, also where the integrand underflows', () => {
    expect([normalRangeLower(0, 5), normalRangeUpper(-1, 5)]).toEqual([0, 1])
    for (const w of [39, 41, 60, 74, 76, 1e5, Number.POSITIVE_INFINITY]) {
      expect(normalRangeLower(w, 5)).toBeCloseTo(1, 14)
      expect(normalRangeUpper(w, 5)).toBeLessThan(1e-150)
    }
  })
  it('refuses bad arguments by name', () => {
    for (const f of [normalRangeLower, normalRangeUpper]) {
      expect(() => f(Number.NaN, 5)).toThrow(
        expect.objectContaining({ name: 'ArgumentError', argument: 'w' }),
      )
      for (const n of [1, 2.5, Number.NaN]) {
        expect(() => f(1, n)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'n' }))
      }
    }
  })
})

describe('normal probability of an interval', () => {
  it('is the difference of tails where that keeps its digits', () => {
    for (const [centre, half] of [
      [0, 2],
      [1, 0.4],
      [-3, 2],
      [5, 6],
      [-9, 1],
    ] as const) {
      const distance = Math.abs(centre)
      const expected = normalUpper(distance - half) - normalUpper(distance + half)
      expect(relativeError(normalWithin(centre, half), expected)).toBeLessThan(1e-13)
    }
  })
  it('is the density times the width where short', () => {
    // φ(1) · 2h, and mpmath 1.3.0 for the longer one: Φ(30.1) − Φ(29.9).
    expect(relativeError(normalWithin(1, 1e-12), 0.24197072451914337 * 2e-12)).toBeLessThan(1e-13)
    expect(relativeError(normalWithin(-30, 0.1), 9.81474166021028e-197)).toBeLessThan(1e-12)
  })
  it('is nothing or all at its ends', () => {
    expect(normalWithin(3, 0)).toBe(0)
    expect(normalWithin(3, -1)).toBe(0)
    expect(normalWithin(0, 50)).toBe(1)
    expect(normalWithin(2, 1) + normalLower(1) + normalUpper(3)).toBeCloseTo(1, 15)
  })
  it('refuses what is no number', () => {
    expect(() => normalWithin(Number.NaN, 1)).toThrow(expect.objectContaining({ argument: 'centre' }))
    expect(() => normalWithin(1, Number.NaN)).toThrow(expect.objectContaining({ argument: 'half' }))
  })
})
