import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findRoot } from '../../../src/numbers/brent.ts'

describe('zero of a function', () => {
  it('finds known zeros', () => {
    expect(findRoot((x) => x * x - 2, 0, 2)).toBeCloseTo(Math.SQRT2, 15)
    expect(findRoot(Math.cos, 1, 2)).toBeCloseTo(Math.PI / 2, 15)
    // A ninefold zero, hard for interpolation.
    expect(Math.abs(findRoot((x) => (x - 0.3) ** 9, -1, 2) - 0.3)).toBeLessThan(1e-2)
    expect(findRoot((x) => x - 5, 5, 9)).toBe(5)
    expect(findRoot((x) => x - 9, 5, 9)).toBe(9)
  })
  it('finds a jump', () => {
    expect(findRoot((x) => (x < 0.7 ? -1 : 1), 0, 1)).toBeCloseTo(0.7, 12)
  })
  it('works where products of values underflow', () => {
    expect(findRoot((x) => 1e-300 * (x - 0.25), 0, 1)).toBeCloseTo(0.25, 15)
  })
  it('respects a tolerance', () => {
    let calls = 0
    const counted = (u: number) => {
      calls++
      return Math.exp(u) - 3
    }
    const x = findRoot(counted, 0, 5, 1e-3)
    expect(Math.abs(x - Math.log(3))).toBeLessThan(1e-3)
    expect(calls).toBeLessThan(15)
  })
  it('refuses a bracket without change of sign or with infinite ends', () => {
    expect(() => findRoot((x) => x * x + 1, -1, 1)).toThrow(expect.objectContaining({ argument: 'from' }))
    expect(() => findRoot((x) => x, Number.NEGATIVE_INFINITY, 1)).toThrow(
      expect.objectContaining({ argument: 'from' }),
    )
    expect(() => findRoot((x) => x, -1, Number.NaN)).toThrow(expect.objectContaining({ argument: 'to' }))
  })
  it('finds the zero of any shifted cubic', () => {
    fc.assert(
      fc.property(fc.double({ min: -5, max: 5, noNaN: true }), (c) => {
        const x = findRoot((u) => u ** 3 + u - (c ** 3 + c), -10, 10)
        expect(Math.abs(x - c)).toBeLessThan(1e-14 * (1 + Math.abs(c)))
      }),
    )
  })
})
