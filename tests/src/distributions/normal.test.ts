import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  normalDensity,
  normalLogUpper,
  normalLower,
  normalMillsRatio,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
} from '../../../src/distributions/normal.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

/** Twelve correct digits. */
const TOLERANCE = 1e-12

describe('normal distribution against mpmath', () => {
  const rows = referenceTable('normal.csv', ['x', 'density', 'lower', 'upper'])

  it.each(rows)('density and tails at $x', ({ x, density, lower, upper }) => {
    expect(relativeError(normalDensity(x), density)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalLower(x), lower)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalUpper(x), upper)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalLower(-x), upper)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalUpper(-x), lower)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalLogUpper(x), Math.log(upper))).toBeLessThan(TOLERANCE)
    expect(relativeError(normalMillsRatio(x), upper / density)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalMillsRatio(-x), lower / density)).toBeLessThan(TOLERANCE)
  })

  const quantiles = referenceTable('normal-quantile.csv', ['upper', 'x'])

  it.each(quantiles)('quantile of $upper', ({ upper, x }) => {
    expect(relativeError(normalUpperQuantile(upper), x)).toBeLessThan(TOLERANCE)
    expect(relativeError(normalQuantile(upper), -x)).toBeLessThan(TOLERANCE)
  })

  it('gives ln P[X > 100] where the probability underflows', () => {
    // mpmath 1.3.0: log(erfc(100/sqrt(2))/2)
    expect(relativeError(normalLogUpper(100), -5005.524208694205)).toBeLessThan(1e-15)
    expect(normalUpper(100)).toBe(0)
  })
})

describe('normal distribution at the edges', () => {
  it('ends at the infinities', () => {
    expect(normalQuantile(0)).toBe(Number.NEGATIVE_INFINITY)
    expect(normalQuantile(1)).toBe(Number.POSITIVE_INFINITY)
    expect(normalUpperQuantile(0)).toBe(Number.POSITIVE_INFINITY)
    expect(normalUpper(Number.POSITIVE_INFINITY)).toBe(0)
    expect(normalLower(Number.POSITIVE_INFINITY)).toBe(1)
    expect(normalDensity(Number.NEGATIVE_INFINITY)).toBe(0)
    expect(normalMillsRatio(Number.POSITIVE_INFINITY)).toBe(0)
    expect(normalLogUpper(Number.POSITIVE_INFINITY)).toBe(Number.NEGATIVE_INFINITY)
    expect(normalLogUpper(Number.NEGATIVE_INFINITY)).toBeCloseTo(0, 15)
  })

  it('refuses what is no number or no probability, by name', () => {
    for (const f of [normalDensity, normalLower, normalUpper, normalMillsRatio, normalLogUpper]) {
      expect(() => f(Number.NaN)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'x' }))
    }
    for (const p of [-1e-9, 1.001, Number.NaN]) {
      expect(() => normalQuantile(p)).toThrow(expect.objectContaining({ argument: 'p' }))
      expect(() => normalUpperQuantile(p)).toThrow(ArgumentError)
    }
  })
})

describe('normal distribution, properties', () => {
  it('is symmetric, its tails sum to one, and the quantile undoes the tail', () => {
    fc.assert(
      fc.property(fc.double({ min: -37, max: 37, noNaN: true }), (x) => {
        expect(normalLower(x)).toBe(normalUpper(-x))
        expect(Math.abs(normalLower(x) + normalUpper(x) - 1)).toBeLessThan(1e-15)
        if (x > 0) expect(Math.abs(normalUpperQuantile(normalUpper(x)) - x)).toBeLessThan(1e-13 * (1 + x))
      }),
    )
  })
})
