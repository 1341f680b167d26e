import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chiSquareQuantile, chiSquareUpperQuantile } from '../../../src/distributions/chi-square.ts'
import { fQuantile, fUpperQuantile } from '../../../src/distributions/f.ts'
import { meanSquareLimits } from '../../../src/gauges/mean-square-interval.ts'

const limits = meanSquareLimits(0.95)
const term = (coefficient: number, meanSquare: number, df: number) => ({ coefficient, meanSquare, df })

describe('limits that are known exactly', () => {
  it('of one mean square are those of chi-square', () => {
    const one = [term(2, 3, 7)]
    expect(limits.lower(one)).toBeCloseTo((2 * 3 * 7) / chiSquareUpperQuantile(0.025, 7), 12)
    expect(limits.upper(one)).toBeCloseTo((2 * 3 * 7) / chiSquareQuantile(0.025, 7), 12)
  })

  it('of a difference are 0 exactly where the F test is on the edge', () => {
    // The cross term is chosen so that L = 0 where the ratio is the quantile of F.
    const [a, b] = [9, 18]
    expect(limits.lower([term(1, fUpperQuantile(0.025, a, b), a), term(-1, 1, b)])).toBeCloseTo(0, 10)
    expect(limits.upper([term(1, fQuantile(0.025, a, b), a), term(-1, 1, b)])).toBeCloseTo(0, 10)
  })

  it('of a sum with a mean square that is all but known are those of the other one, shifted', () => {
    const sum = [term(1, 3, 7), term(1, 5, 1e8)]
    expect(limits.lower(sum)).toBeCloseTo(5 + (3 * 7) / chiSquareUpperQuantile(0.025, 7), 2)
    expect(limits.upper(sum)).toBeCloseTo(5 + (3 * 7) / chiSquareQuantile(0.025, 7), 2)
  })
})

it('a change of all signs swaps the limits, and a term with coefficient 0 changes nothing', () => {
  const anyTerms = fc.array(
    fc.record({
      coefficient: fc.double({ min: -3, max: 3, noNaN: true }),
      meanSquare: fc.double({ min: 0.01, max: 10, noNaN: true }),
      df: fc.integer({ min: 1, max: 60 }),
    }),
    { minLength: 1, maxLength: 4 },
  )
  fc.assert(
    fc.property(anyTerms, (terms) => {
      const value = terms.reduce((sum, { coefficient, meanSquare }) => sum + coefficient * meanSquare, 0)
      const negated = terms.map((each) => ({ ...each, coefficient: -each.coefficient }))
      expect(limits.lower(terms)).toBeLessThanOrEqual(value + 1e-12)
      expect(limits.upper(terms)).toBeGreaterThanOrEqual(value - 1e-12)
      expect(limits.lower(negated)).toBeCloseTo(-limits.upper(terms), 9)
      expect(limits.lower([...terms, term(0, 5, 3)])).toBeCloseTo(limits.lower(terms), 12)
    }),
    { numRuns: 100 },
  )
})
