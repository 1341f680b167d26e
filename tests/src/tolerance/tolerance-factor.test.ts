import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import {
  howeFactor,
  oneSidedToleranceFactor,
  twoSidedToleranceFactor,
} from '../../../src/tolerance/tolerance-factor.ts'

interface Row {
  readonly n: number
  readonly df: number
  readonly content: number
  readonly confidence: number
  readonly twoSided: number
  readonly oneSided: number
}

const { rows }: { rows: readonly Row[] } = JSON.parse(
  readFileSync(new URL('../../reference/tolerance/factors.json', import.meta.url), 'utf8'),
)

describe('NIST/SEMATECH e-Handbook 7.2.6.3: 43 values, 90 % content, 99 % confidence', () => {
  it('one-sided 1.8740 by noncentral t', () => {
    expect(oneSidedToleranceFactor(43, 42, 0.9, 0.99).toFixed(4)).toBe('1.8740')
  })

  it("two-sided 2.217 by Howe's approximation, which the exact factor exceeds a little", () => {
    expect(howeFactor(43, 42, 0.9, 0.99).toFixed(3)).toBe('2.217')
    expect(twoSidedToleranceFactor(43, 42, 0.9, 0.99)).toBeCloseTo(2.223, 3)
  })
})

describe('published two-sided factors, 95 % content and confidence', () => {
  // R. E. Odeh and D. B. Owen, Tables for Normal Tolerance Limits, Sampling Plans, and Screening (1980), also in
  // Krishnamoorthy and Mathew (2009), table B2; from memory.
  it.each([
    [2, 36.519],
    [3, 9.789],
    [4, 6.341],
    [5, 5.077],
    [6, 4.422],
    [10, 3.393],
    [20, 2.76],
    [30, 2.555],
    [50, 2.382],
    [100, 2.234],
  ])('n = %i: %d', (n, published) => {
    expect(Math.abs(twoSidedToleranceFactor(n, n - 1, 0.95, 0.95) - published)).toBeLessThanOrEqual(0.0005)
  })
})

describe('mpmath 1.3.0 with 25 digits (tests/reference/tolerance)', () => {
  it.each(rows)('n = $n, df = $df, content $content, confidence $confidence', (row) => {
    const { n, df, content, confidence } = row
    expect(
      Math.abs(twoSidedToleranceFactor(n, df, content, confidence) / row.twoSided - 1),
    ).toBeLessThanOrEqual(1e-11)
    expect(
      Math.abs(oneSidedToleranceFactor(n, df, content, confidence) / row.oneSided - 1),
    ).toBeLessThanOrEqual(1e-11)
  })
})

describe('edges', () => {
  it('comes down to the normal quantile for very many values', () => {
    // SciPy 1.17.1: norm.isf(0.025) and norm.isf(0.05).
    expect(twoSidedToleranceFactor(1e8, 1e8, 0.95, 0.5)).toBeCloseTo(1.959963984540054, 6)
    expect(oneSidedToleranceFactor(1e8, 1e8, 0.95, 0.5)).toBeCloseTo(1.6448536269514729, 6)
  })

  it('one-sided for half the population is the upper confidence limit of the mean', () => {
    // t quantile over √n; SciPy 1.17.1: t.isf(0.05, 9) = 1.8331129326536335.
    expect(oneSidedToleranceFactor(10, 9, 0.5, 0.95)).toBeCloseTo(1.8331129326536335 / Math.sqrt(10), 11)
  })

  it('refuses arguments out of range', () => {
    for (const factor of [oneSidedToleranceFactor, twoSidedToleranceFactor]) {
      expect(() => factor(0, 9, 0.9, 0.9)).toThrow(ArgumentError)
      expect(() => factor(10, 0, 0.9, 0.9)).toThrow(ArgumentError)
      expect(() => factor(10, 9, 1, 0.9)).toThrow(ArgumentError)
      expect(() => factor(10, 9, 0.9, 0)).toThrow(ArgumentError)
    }
  })
})

it('grows with content and confidence, and falls with the number of values', () => {
  const share = fc.double({ min: 0.5, max: 0.999, noNaN: true })
  fc.assert(
    fc.property(fc.integer({ min: 2, max: 200 }), share, share, (n, content, confidence) => {
      for (const factor of [oneSidedToleranceFactor, twoSidedToleranceFactor]) {
        const at = factor(n, n - 1, content, confidence)
        expect(factor(n, n - 1, content + 0.0005, confidence)).toBeGreaterThan(at)
        expect(factor(n, n - 1, content, confidence + 0.0005)).toBeGreaterThan(at)
      }
      const two = twoSidedToleranceFactor(n, n - 1, content, 0.95)
      expect(twoSidedToleranceFactor(n + 5, n + 4, content, 0.95)).toBeLessThan(two)
      expect(oneSidedToleranceFactor(n, n - 1, content, 0.95)).toBeLessThan(two)
    }),
    { numRuns: 40 },
  )
})
