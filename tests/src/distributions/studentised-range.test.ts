import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { studentLower, studentUpper } from '../../../src/distributions/student.ts'
import {
  studentisedRangeLower,
  studentisedRangeQuantile,
  studentisedRangeUpper,
  studentisedRangeUpperQuantile,
} from '../../../src/distributions/studentised-range.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

/** Ten correct digits, with a margin. */
const TOLERANCE = 1e-11

describe('studentised range', () => {
  it('agrees with double sums in mpmath', () => {
    const rows = referenceTable('studentised-range.csv', ['q', 'k', 'nu', 'lower', 'upper'])
    expect(rows.length).toBeGreaterThan(10)
    for (const { q, k, nu, lower, upper } of rows) {
      expect(relativeError(studentisedRangeLower(q, k, nu), lower), `lower ${q}, ${k}, ${nu}`).toBeLessThan(
        TOLERANCE,
      )
      expect(relativeError(studentisedRangeUpper(q, k, nu), upper), `upper ${q}, ${k}, ${nu}`).toBeLessThan(
        TOLERANCE,
      )
    }
  })

  it('of two values is √2 times the absolute value of Student’s t', () => {
    for (const nu of [1, 1.5, 2, 10, 300, 1e5]) {
      for (const t of [1e-4, 0.5, 2, 7, 30, 1e6]) {
        const upper = 2 * studentUpper(t, nu)
        if (upper < 1e-100) continue
        expect(relativeError(studentisedRangeUpper(t * Math.SQRT2, 2, nu), upper)).toBeLessThan(TOLERANCE)
      }
      const lower = studentLower(0.5, nu) - studentUpper(0.5, nu)
      expect(relativeError(studentisedRangeLower(0.5 * Math.SQRT2, 2, nu), lower)).toBeLessThan(TOLERANCE)
    }
  })

  it('agrees with the published table', () => {
    // NIST/SEMATECH e-Handbook and most textbooks, upper 5 % points, from memory.
    for (const [k, nu, q] of [
      [3, 10, 3.88],
      [4, 20, 3.96],
      [10, 30, 4.82],
      [5, 5, 5.67],
    ] as const) {
      expect(studentisedRangeQuantile(0.95, k, nu)).toBeCloseTo(q, 2)
    }
  })

  it('ends at zero and infinity', () => {
    expect([studentisedRangeLower(-1, 3, 4), studentisedRangeUpper(0, 3, 4)]).toEqual([0, 1])
    expect(studentisedRangeLower(Number.POSITIVE_INFINITY, 3, 4)).toBe(1)
    expect(studentisedRangeUpper(Number.POSITIVE_INFINITY, 3, 4)).toBe(0)
    expect(studentisedRangeQuantile(0, 3, 4)).toBe(0)
    expect(studentisedRangeQuantile(1, 3, 4)).toBe(Number.POSITIVE_INFINITY)
    expect(studentisedRangeUpperQuantile(0, 3, 4)).toBe(Number.POSITIVE_INFINITY)
    expect(studentisedRangeUpperQuantile(1, 3, 4)).toBe(0)
  })

  it('refuses bad arguments by name', () => {
    for (const f of [
      studentisedRangeLower,
      studentisedRangeUpper,
      studentisedRangeQuantile,
      studentisedRangeUpperQuantile,
    ]) {
      for (const k of [1, 2.5, Number.NaN]) {
        expect(() => f(0.5, k, 4)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'k' }))
      }
      expect(() => f(0.5, 3, 0)).toThrow(expect.objectContaining({ argument: 'nu' }))
    }
    expect(() => studentisedRangeLower(Number.NaN, 3, 4)).toThrow(expect.objectContaining({ argument: 'q' }))
    expect(() => studentisedRangeQuantile(1.1, 3, 4)).toThrow(expect.objectContaining({ argument: 'p' }))
    expect(() => studentisedRangeUpperQuantile(1.1, 3, 4)).toThrow(
      expect.objectContaining({ argument: 'upper' }),
    )
  })

  it('has quantiles that undo the tails, and tails that sum to one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -30, max: -0.01, noNaN: true }),
        fc.integer({ min: 2, max: 60 }),
        fc.double({ min: 0, max: 4, noNaN: true }).map((e) => 10 ** e),
        (logTail, k, nu) => {
          const p = Math.exp(logTail)
          const q = studentisedRangeUpperQuantile(p, k, nu)
          expect(relativeError(studentisedRangeUpper(q, k, nu), p)).toBeLessThan(1e-10)
          expect(
            Math.abs(studentisedRangeUpper(q, k, nu) + studentisedRangeLower(q, k, nu) - 1),
          ).toBeLessThan(1e-11)
          const low = studentisedRangeQuantile(p, k, nu)
          expect(relativeError(studentisedRangeLower(low, k, nu), p)).toBeLessThan(1e-10)
        },
      ),
      { numRuns: 15 },
    )
  })
})
