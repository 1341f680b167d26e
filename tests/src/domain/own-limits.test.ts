import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inOwnTolerance, limitsInOwnTolerance, ownTolerance } from '../../../src/domain/own-limits.ts'

/**
 * A hole 10 +0.2/0 with a position tolerance of ⌀ 0.25 at maximum material condition. Maximum material size of a hole is
 * its least, 10.0. Definition of ISO 2692 and ASME Y14.5 (from memory): the bonus is by how much the hole made is larger
 * than that, and the tolerance of its axis is the stated one and the bonus.
 */
const WORKED = [
  { hole: 10.0, total: 0.25, position: 0.25, judged: 1 },
  { hole: 10.05, total: 0.3, position: 0.24, judged: 0.8 },
  { hole: 10.15, total: 0.4, position: 0.42, judged: 1.05 },
  { hole: 10.2, total: 0.45, position: 0.0, judged: 0 },
] as const

const positive = fc.double({ min: 1e-6, max: 1e6, noNaN: true })
const any = fc.double({ min: -1e6, max: 1e6, noNaN: true })

describe('a value in units of the part’s own tolerance', () => {
  it('is the position over the tolerance that the hole’s size leaves it', () => {
    for (const { hole, total, position, judged } of WORKED) {
      expect(0.25 + (hole - 10)).toBeCloseTo(total, 12)
      expect(inOwnTolerance(position, { lower: null, upper: total })).toBeCloseTo(judged, 12)
    }
  })

  it('is counted from the middle in half widths where there are two limits', () => {
    expect(inOwnTolerance(4.95, { lower: 4.9, upper: 5.1 })).toBeCloseTo(-0.5, 12)
    expect(inOwnTolerance(5.3, { lower: 4.9, upper: 5.1 })).toBeCloseTo(3, 12)
    expect(limitsInOwnTolerance('both')).toEqual({ lower: -1, upper: 1 })
  })

  it('is 1 or more of a lower limit alone where it conforms', () => {
    expect(inOwnTolerance(3, { lower: 2, upper: null })).toBe(1.5)
    expect(limitsInOwnTolerance('lower')).toEqual({ lower: 1, upper: null })
  })

  it('does not exist without a tolerance', () => {
    for (const limits of [
      { lower: null, upper: null },
      { lower: null, upper: 0 },
      { lower: null, upper: -0.1 },
      { lower: 0, upper: null },
      { lower: 2, upper: 2 },
      { lower: 3, upper: 2 },
      { lower: null, upper: Number.POSITIVE_INFINITY },
    ]) {
      expect(ownTolerance(limits), JSON.stringify(limits)).toBeNull()
      expect(inOwnTolerance(1, limits)).toBeNull()
    }
  })

  it('conforms exactly where the value does, and is on the limit where it is', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('upper', 'lower', 'both' as const),
        positive,
        positive,
        any,
        (sides, a, width, at) => {
          const limits = {
            lower: sides === 'upper' ? null : a,
            upper: sides === 'lower' ? null : sides === 'both' ? a + width : a,
          }
          if (ownTolerance(limits) === null) return
          const judgedBy = limitsInOwnTolerance(sides)
          // At, and one step of the number to either side of, both limits; and anywhere.
          const edges = [limits.lower, limits.upper].flatMap((limit) =>
            limit === null ? [] : [limit, limit * (1 + Number.EPSILON), limit * (1 - Number.EPSILON)],
          )
          for (const value of [...edges, at]) {
            const judged = inOwnTolerance(value, limits) as number
            const inside = (v: number, l: typeof limits) =>
              (l.lower === null || v >= l.lower) && (l.upper === null || v <= l.upper)
            expect(inside(judged, judgedBy)).toBe(inside(value, limits))
          }
          for (const side of ['lower', 'upper'] as const) {
            const limit = limits[side]
            if (limit !== null) expect(inOwnTolerance(limit, limits)).toBe(judgedBy[side])
          }
        },
      ),
    )
  })
})
