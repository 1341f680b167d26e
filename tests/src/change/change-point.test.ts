import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type ChangePoint, changePoint } from '../../../src/change/change-point.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

const found = (values: ArrayLike<number>, sigma: number | null, confidence = 0.95): ChangePoint => {
  const result = changePoint(values, sigma, confidence)
  if (result === null) throw new Error('no change point')
  return result
}

describe('likelihood written out', () => {
  const normal = normalSource(41)
  const values = Array.from({ length: 30 }, (_, i) => 12.5 + 0.01 * normal() + (i >= 19 ? 0.025 : 0))

  /** Squares left over with a change before place i and the best means on both sides. */
  const squares = (i: number) => {
    const around = (part: readonly number[]) => {
      const mean = part.reduce((sum, value) => sum + value, 0) / part.length
      return part.reduce((sum, value) => sum + (value - mean) ** 2, 0)
    }
    return around(values.slice(0, i)) + around(values.slice(i))
  }
  const places = Array.from({ length: 29 }, (_, i) => i + 1)
  const least = Math.min(...places.map(squares))

  it('finds the place of the least squares', () => {
    expect(squares(found(values, null).index)).toBe(least)
  })

  it('the set with sigma known is that of the likelihood ratios up to 7.35', () => {
    // Hansen (2000), table 1, prints 5.94, 7.35 and 10.59 for 90, 95 and 99 %.
    for (const [confidence, critical] of [
      [0.9, 5.94],
      [0.95, 7.35],
      [0.99, 10.59],
    ] as const) {
      expect(Math.abs(-2 * Math.log(1 - Math.sqrt(confidence)) - critical)).toBeLessThanOrEqual(0.006)
      const expected = places.filter((i) => (squares(i) - least) / 0.01 ** 2 <= critical)
      expect(found(values, 0.01, confidence).plausible).toEqual(expected)
    }
  })

  it('means, shift and sigma are those on both sides of the place', () => {
    const result = found(values, null)
    const mean = (part: readonly number[]) => part.reduce((sum, value) => sum + value, 0) / part.length
    expect(result.before).toBeCloseTo(mean(values.slice(0, result.index)), 12)
    expect(result.after).toBeCloseTo(mean(values.slice(result.index)), 12)
    expect(result.shift).toBeCloseTo(result.after - result.before, 12)
    expect(result.sigma).toBeCloseTo(Math.sqrt(least / 28), 12)
  })
})

describe('coverage by simulation, fixed seeds, 95 % asked for', () => {
  it.each([
    [20, 10, 1, 51],
    [20, 16, 2, 52],
    [50, 25, 1, 53],
    [50, 40, 1.5, 54],
    [50, 48, 3, 55],
    [120, 60, 0.75, 56],
  ])('%i values, change before place %i, shift of %d sigma', (n, place, shift, seed) => {
    const normal = normalSource(seed)
    const runs = 2000
    for (const sigma of [1, null]) {
      let places = 0
      let shifts = 0
      for (let run = 0; run < runs; run++) {
        const values = Array.from({ length: n }, (_, i) => normal() + (i >= place ? shift : 0))
        const result = found(values, sigma)
        if (result.plausible.includes(place)) places++
        if (result.shiftLower <= shift && result.shiftUpper >= shift) shifts++
      }
      const error = Math.sqrt((0.95 * 0.05) / runs)
      expect(places / runs).toBeGreaterThanOrEqual(0.95 - 3 * error)
      expect(shifts / runs).toBeGreaterThanOrEqual(0.95 - 3 * error)
      expect(shifts / runs).toBeLessThan(0.99)
    }
  })

  it('the set is narrow where the shift is large', () => {
    const normal = normalSource(61)
    const values = Array.from({ length: 60 }, (_, i) => normal() + (i >= 37 ? 6 : 0))
    expect(found(values, 1).plausible).toEqual([37])
    expect(found(values, null).plausible).toEqual([37])
  })
})

describe('edges', () => {
  it('a clean step leaves no doubt', () => {
    const result = found([1, 1, 1, 1, 2, 2, 2], null)
    expect(result).toMatchObject({ index: 4, plausible: [4], before: 1, after: 2, shift: 1, sigma: 0 })
    expect(result.shiftLower).toBeCloseTo(1, 12)
    expect(result.shiftUpper).toBeCloseTo(1, 12)
  })

  it('has no change point where nothing varies', () => {
    expect(changePoint([3, 3, 3, 3], null, 0.95)).toBeNull()
  })

  it('refuses what cannot be computed with', () => {
    expect(() => changePoint([1, 2, 3], null, 0.95)).toThrow(ArgumentError)
    expect(() => changePoint([1, 2, 3, Number.NaN], null, 0.95)).toThrow(ArgumentError)
    expect(() => changePoint([1, 2, 3, 4], 0, 0.95)).toThrow(ArgumentError)
    expect(() => changePoint([1, 2, 3, 4], 1, 0)).toThrow(ArgumentError)
  })
})

it('turned round in time or sign, it is turned round', () => {
  const values = fc.array(fc.integer({ min: -100, max: 100 }), { minLength: 4, maxLength: 30 })
  fc.assert(
    fc.property(values, (whole) => {
      const at = changePoint(whole, 10, 0.9)
      fc.pre(at !== null)
      const back = found(whole.toReversed(), 10, 0.9)
      const down = found(
        whole.map((value) => -value),
        10,
        0.9,
      )
      const n = whole.length
      expect(back.plausible.map((i) => n - i).reverse()).toEqual(at.plausible)
      expect(down.plausible).toEqual(at.plausible)
      expect(at.plausible).toContain(at.index)
      expect(back.shiftLower).toBeCloseTo(-at.shiftUpper, 8)
      expect(down.shiftUpper).toBeCloseTo(-at.shiftLower, 8)
      expect(at.shiftLower).toBeLessThanOrEqual(at.shift)
      expect(at.shiftUpper).toBeGreaterThanOrEqual(at.shift)
    }),
  )
})
