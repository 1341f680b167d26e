import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  excessKurtosis,
  higherMomentsOf,
  mergeHigherMoments,
  skewness,
} from '../../../src/description/higher-moments.ts'
import { correctDigits } from './nist-strd.ts'
import { SAMPLES } from './reference.ts'

describe('against mpmath with 40 digits (tests/reference/description)', () => {
  it.each(SAMPLES)('$name', ({ r, mpmath }) => {
    const moments = higherMomentsOf(r.values)
    // Sums of odd powers cancel: their error is measured against the sum of absolute cubes.
    const cubes = r.values.reduce((sum, value) => sum + Math.abs(value - moments.mean) ** 3, 0)
    expect(Math.abs(moments.m3 - mpmath.m3)).toBeLessThanOrEqual(1e-12 * cubes)
    expect(correctDigits(moments.m4, mpmath.m4)).toBeGreaterThanOrEqual(12)
    if (mpmath.skewness === null) expect(skewness(moments)).toBeNull()
    else expect(skewness(moments)).toBeCloseTo(mpmath.skewness, 11)
    if (mpmath.kurtosis === null) expect(excessKurtosis(moments)).toBeNull()
    else expect(excessKurtosis(moments)).toBeCloseTo(mpmath.kurtosis, 11)
  })
})

it('has no shape where there is no spread or there are too few values', () => {
  expect(skewness(higherMomentsOf([1, 2]))).toBeNull()
  expect(skewness(higherMomentsOf([2, 2, 2, 2]))).toBeNull()
  expect(excessKurtosis(higherMomentsOf([1, 2, 3]))).toBeNull()
  expect(excessKurtosis(higherMomentsOf([2, 2, 2, 2]))).toBeNull()
})

it('merging two parts gives the moments of the whole', () => {
  const values = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 1, maxLength: 30 })
  fc.assert(
    fc.property(values, values, (a, b) => {
      const merged = mergeHigherMoments(higherMomentsOf(a), higherMomentsOf(b))
      const whole = higherMomentsOf([...a, ...b])
      const spread = Math.max(1, whole.max - whole.min)
      expect(merged.n).toBe(whole.n)
      expect(Math.abs(merged.m2 - whole.m2)).toBeLessThanOrEqual(1e-12 * whole.n * spread ** 2)
      expect(Math.abs(merged.m3 - whole.m3)).toBeLessThanOrEqual(1e-12 * whole.n * spread ** 3)
      expect(Math.abs(merged.m4 - whole.m4)).toBeLessThanOrEqual(1e-12 * whole.n * spread ** 4)
    }),
  )
})
