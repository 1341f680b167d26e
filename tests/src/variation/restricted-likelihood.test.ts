import fc from 'fast-check'
import { expect, it } from 'vitest'
import { nest } from '../../../src/variation/nesting.ts'
import { restrictedDeviance } from '../../../src/variation/restricted-likelihood.ts'

const label = fc.integer({ min: 0, max: 3 })
const data = fc
  .array(fc.tuple(label, label, label, fc.integer({ min: -50, max: 50 })), { minLength: 20, maxLength: 60 })
  .map((rows) => ({
    values: rows.map(([, , , value]) => value),
    levels: [0, 1, 2].map((k) => rows.map((row) => row[k] as number)),
  }))
const positive = fc.double({ min: 0.5, max: 50, noNaN: true })
const variances = fc.tuple(positive, positive, positive, positive)

/** Values whose levels cannot be told apart are refused elsewhere; here they are passed over. */
const nested = ({ values, levels }: { values: number[]; levels: number[][] }) => {
  try {
    return nest(values, levels)
  } catch {
    return null
  }
}

it('the gradient is that of the deviance', () => {
  fc.assert(
    fc.property(data, variances, (rows, at) => {
      const nesting = nested(rows)
      fc.pre(nesting !== null)
      const { gradient } = restrictedDeviance(nesting, at)
      for (let k = 0; k < 4; k++) {
        const h = 1e-4 * (at[k] as number)
        const side = (by: number) =>
          restrictedDeviance(
            nesting,
            at.map((v, j) => (j === k ? v + by : v)),
          ).value
        const quotient = (side(h) - side(-h)) / (2 * h)
        expect(Math.abs((gradient[k] as number) - quotient)).toBeLessThanOrEqual(
          1e-5 * (1 + Math.abs(quotient)),
        )
      }
    }),
  )
})

it('scales with the unit: n − 1 times the logarithm of the variance is added', () => {
  fc.assert(
    fc.property(data, variances, (rows, at) => {
      const nesting = nested(rows)
      const scaled = nested({ ...rows, values: rows.values.map((value) => 10 * value + 3) })
      fc.pre(nesting !== null && scaled !== null)
      const before = restrictedDeviance(nesting, at)
      const after = restrictedDeviance(
        scaled,
        at.map((v) => 100 * v),
      )
      expect(after.value - before.value).toBeCloseTo((nesting.n - 1) * Math.log(100), 8)
      expect(after.mean).toBeCloseTo(10 * before.mean + 3, 8)
      expect(after.meanVariance / before.meanVariance).toBeCloseTo(100, 8)
    }),
  )
})
