import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { shapiroWilk } from '../../../src/description/shapiro-wilk.ts'
import { normalQuantile } from '../../../src/distributions/normal.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { correctDigits } from './nist-strd.ts'
import { evenlySpread, LARGE, SAMPLES } from './reference.ts'

describe('R 4.2.2 shapiro.test (tests/reference/description)', () => {
  it.each(SAMPLES)('$name', ({ r }) => {
    const { statistic, p } = shapiroWilk(r.values)
    expect(correctDigits(statistic, r.w)).toBeGreaterThanOrEqual(11)
    expect(correctDigits(p, r.p)).toBeGreaterThanOrEqual(9)
  })

  it.each([
    ['even', LARGE.u, evenlySpread],
    ['square root', LARGE.root, evenlySpread.map(Math.sqrt)],
    ['normal', LARGE.normal, evenlySpread.map(normalQuantile)],
  ])('5000 values, %s', (_, expected, values) => {
    const { statistic, p } = shapiroWilk(values)
    expect(correctDigits(statistic, expected.w)).toBeGreaterThanOrEqual(11)
    expect(correctDigits(p, expected.p)).toBeGreaterThanOrEqual(9)
  })
})

describe('edges', () => {
  it('refuses too few, too many and equal values', () => {
    expect(() => shapiroWilk([1, 2])).toThrow(ArgumentError)
    expect(() => shapiroWilk(new Float64Array(5001))).toThrow(/5001/)
    expect(() => shapiroWilk([2, 2, 2, 2])).toThrow(/same/)
    expect(() => shapiroWilk([1, 2, Number.NaN])).toThrow(ArgumentError)
  })

  it('three values: W is 1 when evenly spaced and 3/4 when two are the same', () => {
    expect(shapiroWilk([1, 2, 3])).toEqual({ statistic: 1, p: 1 })
    expect(shapiroWilk([1, 1, 3]).statistic).toBeCloseTo(0.75, 14)
    expect(shapiroWilk([1, 1, 3]).p).toBeCloseTo(0, 7)
  })
})

it('does not depend on order, place or scale', () => {
  const whole = fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 3, maxLength: 60 })
  fc.assert(
    fc.property(whole, fc.integer({ min: -1000, max: 1000 }), (values, shift) => {
      fc.pre(new Set(values).size > 1)
      const at = shapiroWilk(values)
      const moved = shapiroWilk(values.toReversed().map((value) => 4 * (value + shift)))
      expect(moved.statistic).toBeCloseTo(at.statistic, 11)
      expect(at.statistic).toBeLessThanOrEqual(1)
      expect(at.p).toBeGreaterThanOrEqual(0)
      expect(at.p).toBeLessThanOrEqual(1)
    }),
  )
})
