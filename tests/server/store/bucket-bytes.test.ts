import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { packBuckets, unpackBuckets } from '../../../server/store/bucket-bytes.ts'
import { bucketCounts } from '../../../src/description/bucket-counts.ts'

describe('counts in buckets as bytes', () => {
  it('come back as they were', () => {
    const value = fc.oneof(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer().map((n) => n / 1e4),
    )
    fc.assert(
      fc.property(fc.array(value, { minLength: 1, maxLength: 400 }), (values) => {
        const counts = bucketCounts(values)
        expect(unpackBuckets(packBuckets(counts))).toEqual(counts)
      }),
    )
  })

  it('hold counts and gaps of any size', () => {
    const counts = {
      exponent: -17,
      indices: Float64Array.of(-5e15, -5e15 + 1, -5e15 + 200),
      counts: Float64Array.of(1, 127, 4_000_000_000),
    }
    expect(unpackBuckets(packBuckets(counts))).toEqual(counts)
  })

  it('take about a byte a value of a cell of 128, and less for larger ones', () => {
    const size = (n: number) =>
      packBuckets(bucketCounts(Array.from({ length: n }, (_, i) => 12 + Math.sin(i * 7.3) / 50))).length
    expect(size(128) / 128).toBeLessThan(1.4)
    expect(size(5000) / 5000).toBeLessThan(0.11)
  })
})
