import { describe, expect, it } from 'vitest'
import { autocorrelation } from '../../../src/description/autocorrelation.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource } from '../run-length/simulation.ts'
import { correctDigits, univariateSet } from './nist-strd.ts'

describe('certified lag-1 coefficients (NIST Statistical Reference Datasets, univariate)', () => {
  it.each([
    ['Lew', 14.9],
    ['Lottery', 14.5],
    ['Mavro', 13],
    ['Michelso', 13],
    ['NumAcc1', 15],
    ['NumAcc2', 13.5],
    ['NumAcc3', 9],
    ['NumAcc4', 8],
  ])('%s', (name, digits) => {
    const set = univariateSet(name)
    expect(
      correctDigits(autocorrelation(set.values, 0.95)?.r ?? Number.NaN, set.lag1),
    ).toBeGreaterThanOrEqual(digits)
  })

  it('warns for the drifting and the alternating set', () => {
    expect(autocorrelation(univariateSet('Mavro').values, 0.95)?.warns).toBe(true)
    expect(autocorrelation(univariateSet('NumAcc2').values, 0.95)?.warns).toBe(true)
  })
})

it('has the bound 1.96/√n at 95 % (e-Handbook 1.3.5.12)', () => {
  expect(autocorrelation(univariateSet('Lew').values, 0.95)?.bound).toBeCloseTo(
    1.959963984540054 / Math.sqrt(200),
    14,
  )
})

it('warns about independent values no more often than stated (fixed seed)', () => {
  const normal = normalSource(91)
  const runs = 4000
  let warnings = 0
  for (let run = 0; run < runs; run++) {
    if (autocorrelation(Array.from({ length: 50 }, normal), 0.95)?.warns) warnings++
  }
  // The bound is for large n; at 50 it errs on the quiet side.
  expect(warnings / runs).toBeLessThanOrEqual(0.05 + 4 * Math.sqrt((0.05 * 0.95) / runs))
  expect(warnings / runs).toBeGreaterThan(0.03)
})

it('has no coefficient for equal values, and refuses too few', () => {
  expect(autocorrelation([2, 2, 2], 0.95)).toBeNull()
  expect(() => autocorrelation([1, 2], 0.95)).toThrow(ArgumentError)
  expect(() => autocorrelation([1, 2, 3], 1)).toThrow(ArgumentError)
})
