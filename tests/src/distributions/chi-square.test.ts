import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  chiSquareDensity,
  chiSquareLower,
  chiSquareQuantile,
  chiSquareUpper,
  chiSquareUpperQuantile,
} from '../../../src/distributions/chi-square.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

const TOLERANCE = 1e-12

describe('chi-square against mpmath, df from 1 to 100,000', () => {
  const rows = referenceTable('chi-square.csv', ['x', 'df', 'density', 'lower', 'upper'])

  it('density and both tails', () => {
    expect(rows.length).toBeGreaterThan(200)
    for (const { x, df, density, lower, upper } of rows) {
      expect(relativeError(chiSquareDensity(x, df), density), `density ${x}, ${df}`).toBeLessThan(TOLERANCE)
      expect(relativeError(chiSquareLower(x, df), lower), `lower ${x}, ${df}`).toBeLessThan(TOLERANCE)
      expect(relativeError(chiSquareUpper(x, df), upper), `upper ${x}, ${df}`).toBeLessThan(TOLERANCE)
    }
  })
  it('quantiles', () => {
    const quantiles = referenceTable('chi-square-quantile.csv', ['p', 'df', 'quantile', 'upperQuantile'])
    for (const { p, df, quantile, upperQuantile } of quantiles) {
      expect(relativeError(chiSquareQuantile(p, df), quantile), `${p}, ${df}`).toBeLessThan(TOLERANCE)
      expect(relativeError(chiSquareUpperQuantile(p, df), upperQuantile), `${p}, ${df}`).toBeLessThan(
        TOLERANCE,
      )
    }
  })
  it('is the exponential distribution at two degrees of freedom', () => {
    for (const x of [1e-9, 0.3, 2, 50, 1400]) {
      expect(relativeError(chiSquareUpper(x, 2), Math.exp(-x / 2))).toBeLessThan(1e-14)
      expect(relativeError(chiSquareLower(x, 2), -Math.expm1(-x / 2))).toBeLessThan(1e-14)
    }
  })
})

describe('chi-square at the edges', () => {
  it('ends at zero and infinity', () => {
    expect(chiSquareQuantile(0, 3)).toBe(0)
    expect(chiSquareQuantile(1, 3)).toBe(Number.POSITIVE_INFINITY)
    expect(chiSquareUpperQuantile(0, 3)).toBe(Number.POSITIVE_INFINITY)
    expect(chiSquareUpperQuantile(1, 3)).toBe(0)
    expect(chiSquareLower(-1, 3)).toBe(0)
    expect(chiSquareUpper(-1, 3)).toBe(1)
    expect(chiSquareUpper(Number.POSITIVE_INFINITY, 3)).toBe(0)
    expect([1, 2, 3].map((df) => chiSquareDensity(0, df))).toEqual([Number.POSITIVE_INFINITY, 0.5, 0])
    expect(chiSquareDensity(-1, 1)).toBe(0)
  })
  it('refuses bad arguments by name', () => {
    for (const df of [0, -2, Number.NaN, Number.POSITIVE_INFINITY]) {
      for (const f of [
        chiSquareDensity,
        chiSquareLower,
        chiSquareUpper,
        chiSquareQuantile,
        chiSquareUpperQuantile,
      ]) {
        expect(() => f(0.3, df)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'df' }))
      }
    }
    expect(() => chiSquareLower(Number.NaN, 3)).toThrow(expect.objectContaining({ argument: 'x' }))
    expect(() => chiSquareQuantile(-0.1, 3)).toThrow(expect.objectContaining({ argument: 'p' }))
    expect(() => chiSquareUpperQuantile(1.1, 3)).toThrow(expect.objectContaining({ argument: 'q' }))
  })
})

describe('chi-square, properties', () => {
  it('has quantiles that undo the tails, and tails that sum to one', () => {
    const anyDf = fc.double({ min: 0, max: 5, noNaN: true }).map((e) => 10 ** e)
    fc.assert(
      fc.property(fc.double({ min: -34, max: -0.01, noNaN: true }), anyDf, (logTail, df) => {
        const p = Math.exp(logTail)
        expect(relativeError(chiSquareUpper(chiSquareUpperQuantile(p, df), df), p)).toBeLessThan(1e-11)
        const x = chiSquareQuantile(p, df)
        expect(relativeError(chiSquareLower(x, df), p)).toBeLessThan(1e-11)
        expect(Math.abs(chiSquareLower(x, df) + chiSquareUpper(x, df) - 1)).toBeLessThan(1e-13)
      }),
    )
  })
})
