import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fDensity, fLower, fQuantile, fUpper, fUpperQuantile } from '../../../src/distributions/f.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

const TOLERANCE = 1e-12

describe('F against mpmath, degrees of freedom from 1 to 100,000', () => {
  it('density and both tails', () => {
    const rows = referenceTable('f.csv', ['x', 'df1', 'df2', 'density', 'lower', 'upper'])
    expect(rows.length).toBeGreaterThan(200)
    for (const { x, df1, df2, density, lower, upper } of rows) {
      const at = `${x}, ${df1}, ${df2}`
      expect(relativeError(fDensity(x, df1, df2), density), `density ${at}`).toBeLessThan(TOLERANCE)
      expect(relativeError(fLower(x, df1, df2), lower), `lower ${at}`).toBeLessThan(TOLERANCE)
      expect(relativeError(fUpper(x, df1, df2), upper), `upper ${at}`).toBeLessThan(TOLERANCE)
    }
  })
  it('quantiles', () => {
    for (const row of referenceTable('f-quantile.csv', ['p', 'df1', 'df2', 'quantile', 'upperQuantile'])) {
      const { p, df1, df2, quantile, upperQuantile } = row
      const at = `${p}, ${df1}, ${df2}`
      expect(relativeError(fQuantile(p, df1, df2), quantile), at).toBeLessThan(TOLERANCE)
      expect(relativeError(fUpperQuantile(p, df1, df2), upperQuantile), at).toBeLessThan(TOLERANCE)
    }
  })
  it('has the closed form of two degrees of freedom in the numerator', () => {
    // P[F > x] = (1 + 2x/d)^(−d/2).
    for (const [x, d] of [
      [0.01, 5],
      [3, 5],
      [20, 60],
      [9, 4000],
    ] as const) {
      expect(relativeError(fUpper(x, 2, d), Math.exp((-d / 2) * Math.log1p((2 * x) / d)))).toBeLessThan(1e-13)
    }
  })
})

describe('F at the edges', () => {
  it('ends at zero and infinity', () => {
    expect(fQuantile(0, 3, 4)).toBe(0)
    expect(fQuantile(1, 3, 4)).toBe(Number.POSITIVE_INFINITY)
    expect(fUpperQuantile(0, 3, 4)).toBe(Number.POSITIVE_INFINITY)
    expect(fUpperQuantile(1, 3, 4)).toBe(0)
    expect([fLower(-1, 3, 4), fUpper(-1, 3, 4), fDensity(-1, 3, 4)]).toEqual([0, 1, 0])
    expect(fUpper(Number.POSITIVE_INFINITY, 3, 4)).toBe(0)
    expect([1, 2, 3].map((df1) => fDensity(0, df1, 5))).toEqual([Number.POSITIVE_INFINITY, 1, 0])
  })
  it('refuses bad arguments by name', () => {
    for (const df of [0, -2, Number.NaN, Number.POSITIVE_INFINITY]) {
      for (const f of [fDensity, fLower, fUpper, fQuantile, fUpperQuantile]) {
        expect(() => f(0.3, df, 2)).toThrow(
          expect.objectContaining({ name: 'ArgumentError', argument: 'df1' }),
        )
        expect(() => f(0.3, 2, df)).toThrow(
          expect.objectContaining({ name: 'ArgumentError', argument: 'df2' }),
        )
      }
    }
    expect(() => fLower(Number.NaN, 3, 3)).toThrow(expect.objectContaining({ argument: 'x' }))
    expect(() => fQuantile(-0.1, 3, 3)).toThrow(expect.objectContaining({ argument: 'p' }))
    expect(() => fUpperQuantile(1.1, 3, 3)).toThrow(expect.objectContaining({ argument: 'q' }))
  })
})

describe('F, properties', () => {
  it('turns over with the ratio, and its quantiles undo the tails', () => {
    const anyDf = fc.double({ min: 0, max: 5, noNaN: true }).map((e) => 10 ** e)
    fc.assert(
      fc.property(fc.double({ min: -34, max: -0.01, noNaN: true }), anyDf, anyDf, (logTail, df1, df2) => {
        const q = Math.exp(logTail)
        const x = fUpperQuantile(q, df1, df2)
        expect(relativeError(fUpper(x, df1, df2), q)).toBeLessThan(1e-11)
        expect(relativeError(fQuantile(q, df2, df1), 1 / x)).toBeLessThan(1e-12)
        expect(Math.abs(fLower(x, df1, df2) + fUpper(x, df1, df2) - 1)).toBeLessThan(1e-13)
      }),
    )
  })
})
