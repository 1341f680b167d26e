import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { normalUpper } from '../../../src/distributions/normal.ts'
import {
  studentDensity,
  studentLower,
  studentQuantile,
  studentUpper,
  studentUpperQuantile,
} from '../../../src/distributions/student.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

const TOLERANCE = 1e-12

/** Of each reference value, the worst relative error of a computed one. */
function worst(errors: number[]): number {
  return Math.max(...errors)
}

describe("Student's t against mpmath, nu from 1 to 100,000", () => {
  const rows = referenceTable('student.csv', ['t', 'nu', 'density', 'lower', 'upper'])

  it('density', () => {
    expect(worst(rows.map((r) => relativeError(studentDensity(r.t, r.nu), r.density)))).toBeLessThan(
      TOLERANCE,
    )
  })
  it('lower tail', () => {
    expect(worst(rows.map((r) => relativeError(studentLower(r.t, r.nu), r.lower)))).toBeLessThan(TOLERANCE)
    expect(worst(rows.map((r) => relativeError(studentLower(-r.t, r.nu), r.upper)))).toBeLessThan(TOLERANCE)
  })
  it('upper tail', () => {
    expect(worst(rows.map((r) => relativeError(studentUpper(r.t, r.nu), r.upper)))).toBeLessThan(TOLERANCE)
    expect(worst(rows.map((r) => relativeError(studentUpper(-r.t, r.nu), r.lower)))).toBeLessThan(TOLERANCE)
  })
  it('quantiles', () => {
    const quantiles = referenceTable('student-quantile.csv', ['upper', 'nu', 't'])
    expect(worst(quantiles.map((r) => relativeError(studentUpperQuantile(r.upper, r.nu), r.t)))).toBeLessThan(
      TOLERANCE,
    )
    expect(worst(quantiles.map((r) => relativeError(studentQuantile(r.upper, r.nu), -r.t)))).toBeLessThan(
      TOLERANCE,
    )
  })
})

describe("Student's t at the edges", () => {
  it('is the Cauchy distribution at one degree of freedom, to the ends of the doubles', () => {
    // P[T > t] = arctan(1/t) / π.
    for (const t of [0.25, 3, 1e10, 1e100, 1e121, 1e200, 1e300]) {
      expect(relativeError(studentUpper(t, 1), Math.atan(1 / t) / Math.PI)).toBeLessThan(1e-13)
    }
    for (const q of [1e-100, 1e-150, 1e-200, 1e-300]) {
      expect(relativeError(studentUpperQuantile(q, 1), 1 / (Math.PI * q))).toBeLessThan(1e-12)
    }
  })
  it('has the middle at zero and infinities at its ends', () => {
    expect(studentUpper(0, 4)).toBe(0.5)
    expect(studentQuantile(0.5, 4)).toBe(0)
    expect(studentUpperQuantile(0.5, 4)).toBe(0)
    expect(studentQuantile(0, 4)).toBe(Number.NEGATIVE_INFINITY)
    expect(studentUpperQuantile(0, 4)).toBe(Number.POSITIVE_INFINITY)
    expect(studentUpper(Number.POSITIVE_INFINITY, 4)).toBe(0)
    expect(studentLower(Number.NEGATIVE_INFINITY, 4)).toBe(0)
    expect(studentDensity(Number.POSITIVE_INFINITY, 4)).toBe(0)
  })
  it('refuses bad arguments by name', () => {
    for (const nu of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
      for (const f of [studentDensity, studentLower, studentUpper, studentQuantile, studentUpperQuantile]) {
        expect(() => f(0.3, nu)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'nu' }))
      }
    }
    expect(() => studentUpper(Number.NaN, 3)).toThrow(expect.objectContaining({ argument: 't' }))
    expect(() => studentQuantile(2, 3)).toThrow(expect.objectContaining({ argument: 'p' }))
    expect(() => studentUpperQuantile(2, 3)).toThrow(expect.objectContaining({ argument: 'q' }))
  })
})

describe("Student's t, properties", () => {
  const anyNu = fc.double({ min: 0, max: 5, noNaN: true }).map((e) => 10 ** e)
  it('has a quantile that undoes the tail, and tails that sum to one', () => {
    fc.assert(
      fc.property(fc.double({ min: -34, max: -0.01, noNaN: true }), anyNu, (logTail, nu) => {
        const q = Math.exp(logTail)
        const t = studentUpperQuantile(q, nu)
        expect(relativeError(studentUpper(t, nu), q)).toBeLessThan(1e-11)
        expect(Math.abs(studentUpper(t, nu) + studentLower(t, nu) - 1)).toBeLessThan(1e-14)
        expect(studentLower(-t, nu)).toBe(studentUpper(t, nu))
      }),
    )
  })
  it('has heavier tails than the normal distribution', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.1, max: 8, noNaN: true }),
        fc.integer({ min: 1, max: 1000 }),
        (t, nu) => {
          expect(studentUpper(t, nu)).toBeGreaterThan(normalUpper(t))
        },
      ),
    )
  })
})
