import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { quantiles } from '../../../src/description/quantiles.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { SAMPLES } from './reference.ts'

const PROBABILITIES = [0, 0.00135, 0.05, 0.25, 0.5, 0.77, 0.99865, 1]

describe('R 4.2.2 quantile (tests/reference/description)', () => {
  it.each(SAMPLES)('$name', ({ r }) => {
    const scale = Math.max(...r.values.map(Math.abs))
    for (const [definition, expected] of [
      [7, r.type7],
      [8, r.type8],
    ] as const) {
      for (const [i, value] of quantiles(r.values, PROBABILITIES, definition).entries()) {
        expect(Math.abs(value - (expected[i] as number))).toBeLessThanOrEqual(1e-14 * scale)
      }
    }
  })
})

it('of one value is that value', () => {
  expect(quantiles([3.5], [0, 0.3, 1], 7)).toEqual([3.5, 3.5, 3.5])
  expect(quantiles([3.5], [0, 0.3, 1], 8)).toEqual([3.5, 3.5, 3.5])
})

it('refuses no values, values that are not finite, and probabilities out of range', () => {
  expect(() => quantiles([], [0.5], 7)).toThrow(ArgumentError)
  expect(() => quantiles([1, Number.NaN], [0.5], 7)).toThrow(ArgumentError)
  expect(() => quantiles([1, 2], [1.1], 8)).toThrow(ArgumentError)
})

it('rises with the probability and stays among the values', () => {
  const finite = fc.double({ min: -1e6, max: 1e6, noNaN: true })
  const probability = fc.double({ min: 0, max: 1, noNaN: true })
  fc.assert(
    fc.property(
      fc.array(finite, { minLength: 1, maxLength: 30 }),
      fc.tuple(probability, probability),
      fc.constantFrom(7 as const, 8 as const),
      (values, pair, definition) => {
        const [p, q] = [Math.min(...pair), Math.max(...pair)]
        const [low, high] = quantiles(values, [p, q], definition) as [number, number]
        const slack = 1e-9
        expect(low).toBeLessThanOrEqual(high + slack)
        expect(low).toBeGreaterThanOrEqual(Math.min(...values) - slack)
        expect(high).toBeLessThanOrEqual(Math.max(...values) + slack)
      },
    ),
  )
})
