import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  noncentralStudentDensity,
  noncentralStudentLower,
  noncentralStudentQuantile,
  noncentralStudentUpper,
  noncentralStudentUpperQuantile,
} from '../../../src/distributions/noncentral-student.ts'
import { normalUpperQuantile } from '../../../src/distributions/normal.ts'
import { studentDensity, studentUpper } from '../../../src/distributions/student.ts'
import { referenceTable, relativeError } from '../../reference/distributions/table.ts'

/** Ten correct digits, with a margin. */
const TOLERANCE = 1e-11

describe('noncentral t against the AS 243 series in mpmath', () => {
  const rows = referenceTable('noncentral-student.csv', ['t', 'nu', 'delta', 'density', 'lower', 'upper'])
  const far = referenceTable('noncentral-student-far.csv', ['t', 'nu', 'delta', 'lower', 'upper'])

  it('both tails, nu to 100,000 and delta from -50 to 600', () => {
    expect(rows.length + far.length).toBeGreaterThan(150)
    for (const { t, nu, delta, lower, upper } of [...rows, ...far]) {
      const at = `${t}, ${nu}, ${delta}`
      expect(relativeError(noncentralStudentLower(t, nu, delta), lower), `lower ${at}`).toBeLessThan(
        TOLERANCE,
      )
      expect(relativeError(noncentralStudentUpper(t, nu, delta), upper), `upper ${at}`).toBeLessThan(
        TOLERANCE,
      )
      // The mirror image swaps the tails.
      expect(relativeError(noncentralStudentUpper(-t, nu, -delta), lower), `mirrored ${at}`).toBeLessThan(
        TOLERANCE,
      )
    }
  })

  it('density', () => {
    const known = rows.filter((row) => !Number.isNaN(row.density))
    expect(known.length).toBeGreaterThan(100)
    for (const { t, nu, delta, density } of known) {
      expect(
        relativeError(noncentralStudentDensity(t, nu, delta), density),
        `${t}, ${nu}, ${delta}`,
      ).toBeLessThan(TOLERANCE)
    }
  })

  it('density at large nu is the slope of the tail', () => {
    for (const [t, nu, delta] of [
      [45.2, 20000, 45],
      [3, 1e5, 2],
      [590, 40000, 600],
    ] as const) {
      const h = 1e-4 * Math.hypot(1, delta / Math.sqrt(2 * nu))
      const slope =
        (noncentralStudentLower(t + h, nu, delta) - noncentralStudentLower(t - h, nu, delta)) / (2 * h)
      expect(relativeError(noncentralStudentDensity(t, nu, delta), slope)).toBeLessThan(1e-6)
    }
  })

  it('quantiles', () => {
    for (const { t, nu, delta, lower, upper } of [...rows, ...far]) {
      const q =
        lower < upper
          ? noncentralStudentQuantile(lower, nu, delta)
          : noncentralStudentUpperQuantile(upper, nu, delta)
      expect(Math.abs(q - t), `${t}, ${nu}, ${delta}`).toBeLessThan(1e-10 * Math.max(0.01, Math.abs(t)))
    }
  })

  it('holds where common approximations fail', () => {
    // mpmath 1.3.0; other programs give 0 or 0.99626 here.
    expect(relativeError(noncentralStudentLower(50, 99, 40), 0.997029994548926)).toBeLessThan(1e-14)
  })

  it('gives the one-sided tolerance factor of the NIST/SEMATECH e-Handbook, 7.2.6.3', () => {
    // n = 43, content 90 %, confidence 99 %: 1.8740.
    const n = 43
    const k = noncentralStudentQuantile(0.99, n - 1, normalUpperQuantile(0.1) * Math.sqrt(n)) / Math.sqrt(n)
    expect(k).toBeCloseTo(1.874, 4)
  })
})

describe('noncentral t at the edges', () => {
  it('is Student’s t without noncentrality', () => {
    for (const nu of [1, 2.5, 40, 1e5]) {
      for (const t of [0, 1e-9, 0.3, 2, 7.5]) {
        expect(relativeError(noncentralStudentUpper(t, nu, 0), studentUpper(t, nu))).toBeLessThan(1e-12)
        expect(relativeError(noncentralStudentDensity(t, nu, 0), studentDensity(t, nu))).toBeLessThan(1e-12)
      }
    }
  })
  it('falls as a power of t far out', () => {
    // One degree of freedom: the tail falls as 1/t.
    const near = noncentralStudentUpper(1e50, 1, 3) * 1e50
    for (const t of [1e59, 1e61, 1e150, 1e250]) {
      expect(relativeError(noncentralStudentUpper(t, 1, 3) * t, near)).toBeLessThan(1e-12)
    }
    expect(noncentralStudentLower(1e61, 1, 3)).toBe(1)
  })
  it('has quantiles out to where doubles end', () => {
    // At one degree of freedom the tail is c / t.
    const c = noncentralStudentUpper(1e50, 1, 3) * 1e50
    for (const q of [1e-100, 1e-200, 1e-290]) {
      expect(relativeError(noncentralStudentUpperQuantile(q, 1, 3), c / q)).toBeLessThan(1e-11)
    }
    expect(() => noncentralStudentUpperQuantile(1e-200, 0.5, 3)).toThrow(
      expect.objectContaining({ name: 'ConvergenceError' }),
    )
  })
  it('ends at the infinities', () => {
    expect(noncentralStudentUpper(Number.POSITIVE_INFINITY, 3, 2)).toBe(0)
    expect(noncentralStudentLower(Number.POSITIVE_INFINITY, 3, 2)).toBe(1)
    expect(noncentralStudentLower(Number.NEGATIVE_INFINITY, 3, 2)).toBe(0)
    expect(noncentralStudentDensity(Number.NEGATIVE_INFINITY, 3, 2)).toBe(0)
    expect(noncentralStudentQuantile(0, 3, 2)).toBe(Number.NEGATIVE_INFINITY)
    expect(noncentralStudentQuantile(1, 3, 2)).toBe(Number.POSITIVE_INFINITY)
    expect(noncentralStudentUpperQuantile(0, 3, 2)).toBe(Number.POSITIVE_INFINITY)
    expect(noncentralStudentUpperQuantile(1, 3, 2)).toBe(Number.NEGATIVE_INFINITY)
  })
  it('refuses bad arguments by name', () => {
    const all = [
      noncentralStudentDensity,
      noncentralStudentLower,
      noncentralStudentUpper,
      noncentralStudentQuantile,
      noncentralStudentUpperQuantile,
    ]
    for (const f of all) {
      expect(() => f(0.5, 0, 1)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'nu' }))
      expect(() => f(0.5, 3, Number.POSITIVE_INFINITY)).toThrow(
        expect.objectContaining({ argument: 'delta' }),
      )
    }
    expect(() => noncentralStudentLower(Number.NaN, 3, 1)).toThrow(expect.objectContaining({ argument: 't' }))
    expect(() => noncentralStudentQuantile(1.5, 3, 1)).toThrow(expect.objectContaining({ argument: 'p' }))
    expect(() => noncentralStudentUpperQuantile(1.5, 3, 1)).toThrow(
      expect.objectContaining({ argument: 'q' }),
    )
  })
})

describe('noncentral t, properties', () => {
  const anyNu = fc.double({ min: 0, max: 5, noNaN: true }).map((e) => 10 ** e)
  const anyDelta = fc.oneof(
    fc.double({ min: -50, max: 50, noNaN: true }),
    fc.double({ min: 0, max: 600, noNaN: true }),
  )
  it('has quantiles that undo the tails, and tails that sum to one', () => {
    fc.assert(
      fc.property(fc.double({ min: -34, max: -0.01, noNaN: true }), anyNu, anyDelta, (logTail, nu, delta) => {
        const p = Math.exp(logTail)
        const low = noncentralStudentQuantile(p, nu, delta)
        expect(relativeError(noncentralStudentLower(low, nu, delta), p)).toBeLessThan(1e-10)
        const high = noncentralStudentUpperQuantile(p, nu, delta)
        expect(relativeError(noncentralStudentUpper(high, nu, delta), p)).toBeLessThan(1e-10)
        const sum = noncentralStudentLower(high, nu, delta) + noncentralStudentUpper(high, nu, delta)
        expect(Math.abs(sum - 1)).toBeLessThan(1e-12)
      }),
      { numRuns: 300 },
    )
  })
})
