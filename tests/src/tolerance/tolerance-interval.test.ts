import { describe, expect, it } from 'vitest'
import { momentsOf } from '../../../src/description/moments.ts'
import { normalLower, normalUpper } from '../../../src/distributions/normal.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { toleranceInterval } from '../../../src/tolerance/tolerance-interval.ts'
import { normalSource } from '../run-length/simulation.ts'

describe('toleranceInterval', () => {
  it('lies symmetrically about the mean, or on one side of it', () => {
    const moments = momentsOf([9.98, 10.01, 10, 10.02, 9.99, 10.03])
    const both = toleranceInterval(moments, 'both', 0.95, 0.95)
    // Factor 4.422 for six values (Odeh and Owen, 1980).
    const sd = Math.sqrt(moments.m2 / 5)
    expect(both?.lower).toBeCloseTo(moments.mean - 4.422 * sd, 4)
    expect(both?.upper).toBeCloseTo(moments.mean + 4.422 * sd, 4)
    expect(toleranceInterval(moments, 'lower', 0.95, 0.95)).toMatchObject({ upper: null })
    expect(toleranceInterval(moments, 'upper', 0.95, 0.95)).toMatchObject({ lower: null })
  })

  it.each([
    ['both', 101],
    ['lower', 102],
    ['upper', 103],
  ] as const)('%s: holds its content as often as stated (fixed seed)', (sides, seed) => {
    const normal = normalSource(seed)
    const runs = 4000
    let held = 0
    for (let run = 0; run < runs; run++) {
      const interval = toleranceInterval(momentsOf(Array.from({ length: 12 }, normal)), sides, 0.9, 0.95)
      const outside = normalLower(interval?.lower ?? -Infinity) + normalUpper(interval?.upper ?? Infinity)
      if (outside <= 0.1) held++
    }
    expect(Math.abs(held / runs - 0.95)).toBeLessThanOrEqual(4 * Math.sqrt((0.95 * 0.05) / runs))
  })

  it('has none for a single value, and refuses a content out of range', () => {
    expect(toleranceInterval(momentsOf([1]), 'both', 0.9, 0.9)).toBeNull()
    expect(() => toleranceInterval(momentsOf([1, 2]), 'both', 1.2, 0.9)).toThrow(ArgumentError)
  })
})
