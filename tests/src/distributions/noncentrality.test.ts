import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  noncentralStudentLower,
  noncentralStudentUpper,
} from '../../../src/distributions/noncentral-student.ts'
import { noncentralityWhere } from '../../../src/distributions/noncentrality.ts'
import { normalQuantile } from '../../../src/distributions/normal.ts'
import { studentUpper } from '../../../src/distributions/student.ts'
import { findRoot } from '../../../src/numbers/brent.ts'

describe('the noncentrality with which a share lies above or below t', () => {
  it.each([
    // Ends of intervals of an index, times 3√n: R 4.2.2, uniroot over pt(3√n·index, df, ncp), as in the tests of the index.
    [1.2, 50, 49, 0.944773433993, 1.453205224627],
    [0.9, 20, 17.5, 0.567701110016, 1.227039497168],
    [-0.1, 10, 9, -0.308947452522, 0.114158946642],
  ])('index %f of %f values, %f degrees of freedom', (index, n, df, lower, upper) => {
    const scale = 3 * Math.sqrt(n)
    expect(noncentralityWhere('above', 0.025, index * scale, df) / scale).toBeCloseTo(lower, 9)
    expect(noncentralityWhere('below', 0.025, index * scale, df) / scale).toBeCloseTo(upper, 9)
  })

  it('is a normal quantile at t = 0, and none where t is that of the central distribution', () => {
    // P[T ≤ 0] = Φ(−delta), whatever the degrees of freedom: by definition.
    for (const nu of [0.7, 5, 1000]) {
      expect(noncentralityWhere('below', 0.025, 0, nu)).toBeCloseTo(-normalQuantile(0.025), 12)
      const t = 1.3
      expect(noncentralityWhere('above', studentUpper(t, nu), t, nu)).toBeCloseTo(0, 11)
    }
  })

  it('gives the probability back, and is what a bracket finds, near and far', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('above' as const, 'below' as const),
        fc.double({ min: 1e-6, max: 0.4, noNaN: true }),
        fc.double({ min: -7, max: 7, noNaN: true }),
        fc.double({ min: Math.log(0.5), max: Math.log(1e5), noNaN: true }),
        (side, probability, power, logOfNu) => {
          const [t, nu] = [Math.sign(power) * (10 ** Math.abs(power) - 1), Math.exp(logOfNu)]
          const tail = side === 'above' ? noncentralStudentUpper : noncentralStudentLower
          const reach = 12 * Math.sqrt(1 + t ** 2 / (2 * nu)) + 6 / nu
          const [from, to] = side === 'above' ? [t - reach, t] : [t, t + reach]
          // Of few degrees of freedom there may be none within reach.
          fc.pre((tail(t, nu, from) - probability) * (tail(t, nu, to) - probability) < 0)
          const delta = noncentralityWhere(side, probability, t, nu)
          expect(tail(t, nu, delta) / probability).toBeCloseTo(1, 9)
          const bracketed = findRoot((at) => tail(t, nu, at) - probability, from, to)
          const width = Math.max(1, Math.sqrt(t ** 2 / (2 * nu)), Math.abs(bracketed))
          expect(Math.abs(delta - bracketed) / width).toBeLessThan(1e-12)
        },
      ),
      { numRuns: 200 },
    )
  })
})
