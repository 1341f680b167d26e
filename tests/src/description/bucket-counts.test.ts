import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  bucketCounts,
  countBounds,
  MOST_BUCKETS,
  mergeBuckets,
  quantileBounds,
} from '../../../src/description/bucket-counts.ts'
import { quantiles } from '../../../src/description/quantiles.ts'
import { ArgumentError } from '../../../src/errors.ts'

const value = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true }),
  // As measured: a dimension, read to a tenth of a micrometre.
  fc.integer({ min: 100_000, max: 101_000 }).map((n) => n / 1e4),
  fc.constantFrom(0, -0, 5e-324, -5e-324, Number.MAX_VALUE, -Number.MAX_VALUE, 1, 2 ** 60),
)
const set = fc.array(value, { minLength: 1, maxLength: 300 })
const sets = fc.array(set, { minLength: 1, maxLength: 6 })
const range = (values: readonly number[]) => Math.max(...values) / 2 - Math.min(...values) / 2

describe('counts in buckets', () => {
  it('put each value where dividing by the width says, worked by hand', () => {
    // Range 0.9: buckets of 1/256 would be up to 232 of them, so 2^-8; of 2^-9 there would be more than 256.
    const counts = bucketCounts([0.05, 0.051, 0.5, 0.95])
    expect(counts.exponent).toBe(-8)
    expect([...counts.indices]).toEqual([12, 13, 128, 243])
    expect([...counts.counts]).toEqual([1, 1, 1, 1])
  })

  it('hold equal values in one bucket, of the width of their last digit', () => {
    const counts = bucketCounts([12.3456, 12.3456, 12.3456])
    expect([...counts.counts]).toEqual([3])
    expect(2 ** counts.exponent).toBeLessThan(4e-15)
    expect([...bucketCounts([0, 0]).indices]).toEqual([0])
  })

  it('refuse what cannot be counted', () => {
    expect(() => bucketCounts([])).toThrow(ArgumentError)
    expect(() => bucketCounts([1, Number.NaN])).toThrow(ArgumentError)
    expect(() => quantileBounds({ values: new Float64Array(), buckets: [] }, [0.5])).toThrow(ArgumentError)
    expect(() => quantileBounds({ values: Float64Array.of(1), buckets: [] }, [1.5])).toThrow(ArgumentError)
  })

  it('count every value once, in at most 256 buckets narrower than a 127th of the range', () => {
    fc.assert(
      fc.property(set, (values) => {
        const { exponent, indices, counts } = bucketCounts(values)
        const width = 2 ** exponent
        expect(counts.reduce((a, b) => a + b)).toBe(values.length)
        expect((indices.at(-1) as number) - (indices[0] as number)).toBeLessThan(MOST_BUCKETS)
        for (const v of values) {
          expect(indices.some((i) => i * width <= v && v < (i + 1) * width)).toBe(true)
        }
        // Or as narrow as the last digit of the greatest value allows.
        const digit = Math.max(...values.map(Math.abs), 2 ** -940) * 2 ** -51
        expect(width / 2 < range(values) / 127 || width <= digit).toBe(true)
      }),
    )
  })

  it('come out the same whatever the order in which sets are merged', () => {
    fc.assert(
      fc.property(sets, (all) => {
        const counts = all.map(bucketCounts)
        const [first, ...others] = counts
        const merged = mergeBuckets(counts)
        expect(mergeBuckets([...counts].reverse())).toEqual(merged)
        expect(mergeBuckets([...mergeBuckets(others), first as (typeof counts)[0]])).toEqual(merged)
        const total = merged.flatMap((m) => [...m.counts]).reduce((a, b) => a + b)
        expect(total).toBe(all.flat().length)
      }),
    )
  })
})

describe('bounds of quantiles', () => {
  const probabilities = [0, 0.00135, 0.01, 0.25, 0.5, 0.9, 0.99865, 1]

  it('hold the exact sample quantile, and are no further apart than the widest bucket', () => {
    fc.assert(
      fc.property(sets, set, fc.double({ min: 0, max: 1, noNaN: true }), (all, exact, p) => {
        const buckets = mergeBuckets(all.map(bucketCounts))
        const values = [...all.flat(), ...exact]
        const asked = [...probabilities, p]
        // Interpolating between extreme values overflows, whether exactly or by bounds.
        fc.pre(values.every((v) => Math.abs(v) < 1e300))
        const truth = quantiles(values, asked, 7)
        const bounds = quantileBounds({ values: Float64Array.from(exact), buckets }, asked)
        const widest = Math.max(...buckets.map((b) => 2 ** b.exponent))
        const rounding = 1e-15 * Math.max(...values.map(Math.abs))
        for (const [i, { lower, upper }] of bounds.entries()) {
          const t = truth[i] as number
          expect(lower).toBeLessThanOrEqual(t + rounding)
          expect(upper).toBeGreaterThanOrEqual(t - rounding)
          expect(upper - lower).toBeLessThanOrEqual(widest + 4 * rounding)
        }
      }),
    )
  })

  it('are the quantile itself where all values are known exactly', () => {
    fc.assert(
      fc.property(set, (values) => {
        fc.pre(values.every((v) => Math.abs(v) < 1e300))
        const bounds = quantileBounds({ values: Float64Array.from(values), buckets: [] }, probabilities)
        expect(bounds.map((b) => b.lower)).toEqual(quantiles(values, probabilities, 7))
        expect(bounds.map((b) => b.upper)).toEqual(quantiles(values, probabilities, 7))
      }),
    )
  })

  it('stay narrow where one set has an outlier', () => {
    const quiet = Array.from({ length: 500 }, (_, i) => 12 + i / 1e5)
    const buckets = mergeBuckets([
      ...Array.from({ length: 9 }, () => bucketCounts(quiet)),
      bucketCounts([...quiet, 1200]),
    ])
    const [median] = quantileBounds({ values: new Float64Array(), buckets }, [0.5])
    if (median === undefined) throw new Error('no median')
    expect(median.lower).toBeLessThanOrEqual(12.0025)
    expect(median.upper).toBeGreaterThanOrEqual(12.0025)
    // A tenth of the values lie in buckets 8 wide; the others hold the median within a tenth of their range.
    expect(median.upper - median.lower).toBeLessThan(0.001)
  })

  it('lie within a range that is known', () => {
    const values = [3.1, 3.7, 4.4]
    const buckets = [bucketCounts(values)]
    const known = { values: new Float64Array(), buckets }
    expect(quantileBounds(known, [0, 1], { min: 3.1, max: 4.4 })).toEqual([
      { lower: 3.1, upper: expect.closeTo(3.1, 1) },
      { lower: expect.closeTo(4.4, 1), upper: 4.4 },
    ])
  })
})

describe('bounds of counts below a value', () => {
  it('hold the exact count, and differ by no more than the buckets around it hold', () => {
    fc.assert(
      fc.property(sets, set, value, (all, exact, x) => {
        const buckets = mergeBuckets(all.map(bucketCounts))
        const values = [...all.flat(), ...exact]
        const [bounds] = countBounds({ values: Float64Array.from(exact), buckets }, [x])
        if (bounds === undefined) throw new Error('no bounds')
        const truth = values.filter((v) => v < x).length
        expect(bounds.lower).toBeLessThanOrEqual(truth)
        expect(bounds.upper).toBeGreaterThanOrEqual(truth)
        const around = buckets.reduce((sum, { exponent, indices, counts }) => {
          const at = indices.findIndex((i) => i * 2 ** exponent < x && x < (i + 1) * 2 ** exponent)
          return sum + (at < 0 ? 0 : (counts[at] as number))
        }, 0)
        expect(bounds.upper - bounds.lower).toBeLessThanOrEqual(around)
      }),
    )
  })

  it('are exact at the edges of buckets', () => {
    const values = Array.from({ length: 1000 }, (_, i) => Math.sin(i))
    const counts = bucketCounts(values)
    const edges = [-64, -1, 0, 17, 100].map((i) => i * 2 ** counts.exponent)
    const exact = edges.map((edge) => values.filter((v) => v < edge).length)
    expect(countBounds({ values: new Float64Array(), buckets: [counts] }, edges)).toEqual(
      exact.map((n) => ({ lower: n, upper: n })),
    )
  })
})
