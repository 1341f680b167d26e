import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { momentsOf, standardDeviation } from '../../../src/description/moments.ts'
import { outlierOf } from '../../../src/events/outlier.ts'

function subgroup(values: readonly number[]) {
  const moments = momentsOf(values)
  return {
    ...moments,
    sd: standardDeviation(moments),
    buildId: 1,
    label: '1',
    leftOut: false,
    leftOutValues: [],
  }
}

const usual = [5.191, 5.196, 5.199, 5.188, 5.193, 5.202, 5.195]

describe('one value far out', () => {
  it('is found from the summary of the build, with the mean of the others', () => {
    const found = outlierOf(subgroup([...usual, 5.129]), 0.004)
    expect(found?.value).toBe(5.129)
    expect(found?.others).toBeCloseTo(usual.reduce((sum, value) => sum + value, 0) / 7, 12)
    expect(found?.sigmas).toBeCloseTo(((found?.value as number) - (found?.others as number)) / 0.004, 12)
  })

  it.each([
    [5.129, 5.192],
    [51.95, null],
    [5.915, 5.195],
    [5.1, null],
  ])('%d reads %d with two neighbouring digits exchanged', (typed, meant) => {
    expect(outlierOf(subgroup([...usual, typed]), 0.004)?.exchanged).toBe(meant)
  })

  it('digits are exchanged across the decimal point too', () => {
    expect(outlierOf(subgroup([12.31, 12.33, 12.35, 12.32, 13.23, 12.33]), 0.02)?.exchanged).toBe(12.33)
  })

  it('is none where all values scatter, nor in fewer than four, nor where it is near', () => {
    expect(outlierOf(subgroup([5.15, 5.24, 5.13, 5.26, 5.19, 5.12]), 0.004)).toBeNull()
    expect(outlierOf(subgroup([5.19, 5.2, 5.1]), 0.004)).toBeNull()
    expect(outlierOf(subgroup([...usual, 5.184]), 0.004)).toBeNull()
  })

  it('leaves the others with the spread that they have by themselves', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -10, max: 10 }), { minLength: 5, maxLength: 20 }),
        fc.integer({ min: 200, max: 300 }),
        (units, far) => {
          const values = units.map((unit) => 7 + unit / 1000)
          const sd = standardDeviation(momentsOf(values)) as number
          const all = subgroup([...values, 7 + far / 1000])
          // Named where the spread of the others, found from the summary, is below the bound; not where above.
          if (sd > 0.0002) {
            expect(outlierOf(all, 0.004, (sd * 1.001) / 0.004)).not.toBeNull()
            expect(outlierOf(all, 0.004, (sd * 0.999) / 0.004)).toBeNull()
          }
        },
      ),
      { numRuns: 100 },
    )
  })
})
