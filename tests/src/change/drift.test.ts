import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { drift } from '../../../src/change/drift.ts'
import { slopeRank } from '../../../src/change/kendall.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'

interface Reference {
  readonly places: string
  readonly x: readonly number[]
  readonly y: readonly number[]
  readonly slope: number
  readonly lower: number
  readonly upper: number
  readonly level: number
}

const { sets }: { sets: readonly Reference[] } = JSON.parse(
  readFileSync(new URL('../../reference/change/drift.json', import.meta.url), 'utf8'),
)

describe('SciPy 1.17.1 theilslopes (tests/reference/change)', () => {
  it.each(sets)('$places places', (set) => {
    const result = drift(set.x, set.y, 0.95)
    const scale = Math.abs(set.upper) + Math.abs(set.lower)
    expect(Math.abs(result.slope - set.slope)).toBeLessThanOrEqual(1e-12 * scale)
    expect(Math.abs((result.slopeLower ?? Number.NaN) - set.lower)).toBeLessThanOrEqual(1e-12 * scale)
    expect(Math.abs((result.slopeUpper ?? Number.NaN) - set.upper)).toBeLessThanOrEqual(1e-12 * scale)
    expect(result.level).toBeCloseTo(set.level, 11)
  })
})

describe('rank of the limits', () => {
  // M. G. Kendall, Rank Correlation Methods: P(S ≥ 8) = 0.042 and P(S ≥ 10) = 0.0083 for five values, P(S ≥ 21) = 0.036
  // for ten, where S = pairs − 2 × inversions (printed figures from memory; 5/120 and 1/120 by counting).
  it('is exact for few places', () => {
    const places = (n: number) => Array.from({ length: n }, () => 1)
    expect(slopeRank(places(5), 10, 0.9)).toBe(2)
    expect(slopeRank(places(5), 10, 0.95)).toBe(1)
    expect(slopeRank(places(5), 10, 0.99)).toBe(0)
    expect(slopeRank(places(10), 45, 1 - 2 * 0.0365)).toBe(13)
    expect(slopeRank(places(10), 45, 1 - 2 * 0.0355)).toBe(12)
  })

  it('goes over to the normal approximation without a jump', () => {
    const exact = slopeRank(
      Array.from({ length: 60 }, () => 1),
      1770,
      0.95,
    )
    const sd = Math.sqrt((60 * 59 * 125) / 18)
    expect(Math.abs(exact - (1770 - 1.959964 * sd) / 2)).toBeLessThanOrEqual(1)
  })
})

describe('coverage by simulation, fixed seeds', () => {
  it.each([
    [10, 71],
    [40, 72],
    [70, 73],
  ])('the slope of %i values, wild ones among them', (n, seed) => {
    const normal = normalSource(seed)
    const runs = 1000
    const x = Array.from({ length: n }, (_, i) => i)
    let held = 0
    for (let run = 0; run < runs; run++) {
      const y = x.map((place) => 0.1 * place + normal() / Math.max(0.1, Math.abs(normal())))
      const { slopeLower, slopeUpper } = drift(x, y, 0.95)
      if ((slopeLower ?? -Infinity) <= 0.1 && (slopeUpper ?? Infinity) >= 0.1) held++
    }
    expect(Math.abs(held / runs - 0.955)).toBeLessThanOrEqual(0.025)
  })
})

describe('edges', () => {
  it('a straight line is found whole, and one wild value does not move it', () => {
    const x = [1, 2, 3, 4, 5, 6, 7]
    const y = x.map((place) => 2 + 0.5 * place)
    expect(drift(x, y, 0.9)).toMatchObject({
      slope: 0.5,
      slopeLower: 0.5,
      slopeUpper: 0.5,
      centre: 4,
      level: 4,
      n: 7,
    })
    expect(drift(x, [...y.slice(0, 6), 1000], 0.9).slope).toBeCloseTo(0.5, 12)
  })

  it('has no interval where the values are too few', () => {
    expect(drift([1, 2, 3], [1, 2, 4], 0.95)).toMatchObject({ slopeLower: null, slopeUpper: null })
  })

  it('refuses what cannot be computed with', () => {
    expect(() => drift([1, 2], [1, 2], 0.95)).toThrow(ArgumentError)
    expect(() => drift([1, 2, 3], [1, 2], 0.95)).toThrow(ArgumentError)
    expect(() => drift([1, 1, 1], [1, 2, 3], 0.95)).toThrow(/same/)
    expect(() => drift([1, 2, Number.NaN], [1, 2, 3], 0.95)).toThrow(ArgumentError)
    expect(() => drift([1, 2, 3], [1, 2, Number.POSITIVE_INFINITY], 0.95)).toThrow(ArgumentError)
    expect(() => drift([1, 2, 3], [1, 2, 3], 1)).toThrow(ArgumentError)
    expect(() => drift(new Float64Array(2001), new Float64Array(2001), 0.95)).toThrow(/2001/)
  })
})

it('follows a change of unit and an added slope', () => {
  const points = fc.uniqueArray(
    fc.tuple(fc.integer({ min: 0, max: 500 }), fc.integer({ min: -99, max: 99 })),
    {
      selector: ([x]) => x,
      minLength: 6,
      maxLength: 25,
    },
  )
  fc.assert(
    fc.property(points, fc.integer({ min: -3, max: 3 }), (pairs, added) => {
      const x = pairs.map(([place]) => place)
      const y = pairs.map(([, value]) => value)
      const at = drift(x, y, 0.9)
      const moved = drift(
        x,
        y.map((value, i) => 2 * (value + added * (x[i] as number))),
        0.9,
      )
      expect(moved.slope).toBeCloseTo(2 * (at.slope + added), 9)
      expect(moved.slopeLower ?? 0).toBeCloseTo(2 * ((at.slopeLower as number) + added), 9)
      expect(moved.slopeUpper ?? 0).toBeCloseTo(2 * ((at.slopeUpper as number) + added), 9)
    }),
  )
})
