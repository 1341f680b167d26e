import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  mergeMoments,
  momentsOf,
  momentsWithout,
  standardDeviation,
  variance,
} from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { correctDigits, univariateSet } from './nist-strd.ts'

describe('certified means and standard deviations (NIST Statistical Reference Datasets, univariate)', () => {
  // Certified values have 15 digits. Values near 2.0 with a spread of 4e-4 (Mavro), 299 with 0.08 (Michelso) and
  // 1e6 and 1e7 with 0.1 (NumAcc3, NumAcc4) are rounded to doubles before anything is computed.
  it.each([
    ['Lew', 15],
    ['Lottery', 15],
    ['Mavro', 13.1],
    ['Michelso', 13.8],
    ['NumAcc1', 15],
    ['NumAcc2', 14.2],
    ['NumAcc3', 9.4],
    ['NumAcc4', 8.2],
  ])('%s', (name, digits) => {
    const set = univariateSet(name)
    const moments = momentsOf(set.values)
    expect(correctDigits(moments.mean, set.mean)).toBe(15)
    expect(correctDigits(standardDeviation(moments) ?? Number.NaN, set.sd)).toBeGreaterThanOrEqual(digits)
  })

  it.each(['Lew', 'Mavro', 'Michelso', 'NumAcc4'])('%s, merged from pieces of seven', (name) => {
    const { values } = univariateSet(name)
    const pieces = Array.from({ length: Math.ceil(values.length / 7) }, (_, i) =>
      momentsOf(values.slice(7 * i, 7 * i + 7)),
    )
    const merged = pieces.reduce(mergeMoments)
    const whole = momentsOf(values)
    expect(merged.n).toBe(whole.n)
    expect(merged.min).toBe(whole.min)
    expect(merged.max).toBe(whole.max)
    expect(correctDigits(merged.mean, whole.mean)).toBeGreaterThanOrEqual(14.5)
    expect(correctDigits(merged.m2, whole.m2)).toBeGreaterThanOrEqual(name === 'NumAcc4' ? 7.5 : 11.5)
  })
})

describe('edges', () => {
  it('has no variance for a single value', () => {
    const one = momentsOf([4.2])
    expect(one).toEqual({ n: 1, mean: 4.2, m2: 0, min: 4.2, max: 4.2 })
    expect(variance(one)).toBeNull()
    expect(standardDeviation(one)).toBeNull()
  })

  it('refuses no values and values that are not finite', () => {
    expect(() => momentsOf([])).toThrow(ArgumentError)
    expect(() => momentsOf([1, Number.NaN])).toThrow(/value 2 of 2/)
    expect(() => momentsOf(new Float64Array([Number.POSITIVE_INFINITY]))).toThrow(ArgumentError)
  })
})

describe('properties', () => {
  const values = fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 40 })

  it('merging in either order gives the same moments, up to rounding', () => {
    fc.assert(
      fc.property(values, values, (a, b) => {
        const ab = mergeMoments(momentsOf(a), momentsOf(b))
        const ba = mergeMoments(momentsOf(b), momentsOf(a))
        const scale = Math.max(Math.abs(ab.min), Math.abs(ab.max), 1e-300)
        expect(Math.abs(ab.mean - ba.mean)).toBeLessThanOrEqual(1e-14 * scale)
        expect(Math.abs(ab.m2 - ba.m2)).toBeLessThanOrEqual(1e-13 * scale * scale * ab.n)
      }),
    )
  })

  it('taking values out again gives the moments of the others', () => {
    fc.assert(
      fc.property(values, values, (a, b) => {
        const left = momentsWithout(mergeMoments(momentsOf(a), momentsOf(b)), momentsOf(b))
        const direct = momentsOf(a)
        const scale = Math.max(...[...a, ...b].map(Math.abs), 1e-300)
        expect(left.n).toBe(direct.n)
        expect(Math.abs(left.mean - direct.mean)).toBeLessThanOrEqual(1e-12 * scale)
        expect(Math.abs(left.m2 - direct.m2)).toBeLessThanOrEqual(1e-11 * scale * scale)
      }),
    )
    expect(() => momentsWithout(momentsOf([1]), momentsOf([1]))).toThrow('leave none')
  })

  it('a shift of whole numbers moves the mean and leaves the spread', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2 }),
        fc.integer({ min: -1e6, max: 1e6 }),
        (whole, shift) => {
          const at = momentsOf(whole)
          const moved = momentsOf(whole.map((value) => value + shift))
          expect(Math.abs(moved.mean - at.mean - shift)).toBeLessThanOrEqual(1e-9)
          expect(Math.abs(moved.m2 - at.m2)).toBeLessThanOrEqual(1e-8 * (1 + at.m2))
        },
      ),
    )
  })
})
