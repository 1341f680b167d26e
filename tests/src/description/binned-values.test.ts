import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  BINS_TO_A_BAR,
  barsOf,
  binnedValues,
  binWidth,
  plottedShares,
} from '../../../src/description/binned-values.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { univariateSet } from './nist-strd.ts'

describe('bars of a histogram', () => {
  it('are as wide as Scott’s rule says, to a round figure', () => {
    // Scott (1979): 3.49 s n^(−1/3) for Michelson's speeds of light (NIST StRD, certified s = 0.0790105478190518, n = 100)
    // is 0.05941, nearest to 0.05 of 1, 2, 5, 10 on a logarithmic scale.
    const { values } = univariateSet('Michelso')
    const moments = momentsOf(values)
    expect((binWidth(moments) as number) * BINS_TO_A_BAR).toBeCloseTo(0.05, 12)
  })

  it('do not exist where all values are the same', () => {
    expect(binWidth(momentsOf([3]))).toBeNull()
    expect(binWidth(momentsOf([3, 3, 3]))).toBeNull()
    expect(() => binnedValues([], 1)).toThrow(ArgumentError)
  })

  it('take a value on an edge into the upper bar, whatever its last binary digit', () => {
    // 0.3 / 0.1 is 2.9999999999999996 in double precision.
    const bars = barsOf(binnedValues([0.1, 0.2, 0.3, 0.3], 0.1 / BINS_TO_A_BAR))
    expect(bars.map(({ count }) => count)).toEqual([1, 1, 2])
    expect(bars[2]?.from).toBeCloseTo(0.3, 12)
  })

  it('hold every value once, in order, however far one lies out', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -1e6, max: 1e6, noNaN: true }), { minLength: 2, maxLength: 200 }),
        (values) => {
          const width = binWidth(momentsOf(values))
          if (width === null) return
          const binned = binnedValues(values, width)
          const bars = barsOf(binned)
          expect(bars.reduce((sum, { count }) => sum + count, 0)).toBe(values.length)
          expect(bars.length).toBeLessThanOrEqual(62)
          const shares = plottedShares(binned)
          for (const { below, above } of shares) expect(below + above).toBeCloseTo(1, 12)
          expect(shares.every(({ below }, i) => i === 0 || below > (shares[i - 1]?.below ?? 0))).toBe(true)
        },
      ),
    )
  })

  it('plot single values at (i − ½)/n', () => {
    // Hazen (1914).
    const shares = plottedShares(binnedValues([1, 2, 3, 4], 0.1))
    expect(shares.map(({ below }) => below)).toEqual([0.125, 0.375, 0.625, 0.875])
  })
})
