import fc from 'fast-check'
import { jStat } from 'jstat'
import { mean, quantileSorted, sampleStandardDeviation } from 'simple-statistics'
import { describe, expect, it } from 'vitest'
import { momentsOf, standardDeviation } from '../../../src/description/moments.ts'
import { chiSquareLower } from '../../../src/distributions/chi-square.ts'
import { fLower } from '../../../src/distributions/f.ts'
import { normalLower } from '../../../src/distributions/normal.ts'
import { studentLower } from '../../../src/distributions/student.ts'

/**
 * The core beside two general-purpose libraries, where those are sound: simple-statistics for description, jstat for
 * probabilities away from the tails. Both fall short in the tails, which is why the core has its own.
 */

const values = fc.array(fc.double({ min: -1000, max: 1000, noNaN: true }), { minLength: 2, maxLength: 50 })

describe('beside simple-statistics', () => {
  it('mean and standard deviation agree', () => {
    fc.assert(
      fc.property(values, (x) => {
        const moments = momentsOf(x)
        expect(moments.mean).toBeCloseTo(mean(x), 9)
        expect(standardDeviation(moments)).toBeCloseTo(sampleStandardDeviation(x), 9)
        expect(moments.max).toBe(
          quantileSorted(
            x.toSorted((a, b) => a - b),
            1,
          ),
        )
      }),
    )
  })
})

describe('beside jstat', () => {
  it('probabilities agree to seven decimals away from the tails', () => {
    for (const x of [-1.5, -0.3, 0.4, 1.9]) {
      expect(normalLower(x)).toBeCloseTo(jStat.normal.cdf(x, 0, 1), 7)
      expect(studentLower(x, 7)).toBeCloseTo(jStat.studentt.cdf(x, 7), 7)
    }
    for (const x of [0.5, 2, 9]) {
      expect(chiSquareLower(x, 5)).toBeCloseTo(jStat.chisquare.cdf(x, 5), 7)
      expect(fLower(x, 3, 11)).toBeCloseTo(jStat.centralF.cdf(x, 3, 11), 7)
    }
  })
})
