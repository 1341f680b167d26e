import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { spreadIndex } from '../../../src/capability/indices.ts'
import { targetIndex, targetIndexEstimate } from '../../../src/capability/target-index.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { draws } from './draws.ts'

interface Case {
  readonly lower: number
  readonly upper: number
  readonly target: number
  readonly n: number
  readonly mean: number
  readonly sigma: number
  readonly value: number
  readonly from: number
  readonly to: number
}

/** tests/reference/capability/target-index.R: Boyles' interval from simple samples. */
const { cases } = JSON.parse(
  readFileSync(new URL('../../reference/capability/target-index.json', import.meta.url), 'utf8'),
) as { cases: Case[] }

it('NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, sigma 2, target 14: Cpm 0.7071', () => {
  expect(targetIndex({ lower: 8, upper: 20 }, 14, 16, 2)).toBeCloseTo(Math.SQRT1_2, 14)
})

it.each(cases)('interval against R, n = $n', ({ lower, upper, target, n, mean, sigma, value, from, to }) => {
  const estimate = targetIndexEstimate({ lower, upper }, target, mean, { sigma, df: n - 1 }, n, 0.95)
  expect(estimate?.value).toBeCloseTo(value, 12)
  expect(estimate?.lower).toBeCloseTo(from, 11)
  expect(estimate?.upper).toBeCloseTo(to, 11)
})

describe('coverage of the true Cpm, 20,000 simulated samples each', () => {
  const settings = [10, 30, 100].flatMap((n) => [0, 0.5, 1, 2].map((offset) => [n, offset] as const))
  it.each(settings)('n = %i, mean %f sigmas off target', (n, offset) => {
    const random = draws(n * 100 + offset * 10)
    const limits = { lower: -5, upper: 5 }
    const truth = 10 / (6 * Math.hypot(1, offset))
    let covered = 0
    for (let i = 0; i < 20_000; i++) {
      const mean = offset + random.normal() / Math.sqrt(n)
      const sigma = Math.sqrt(random.chiSquare(n - 1) / (n - 1))
      const estimate = targetIndexEstimate(limits, 0, mean, { sigma, df: n - 1 }, n, 0.95)
      if (estimate !== null && estimate.lower <= truth && truth <= estimate.upper) covered++
    }
    // As the function states; standard error 0.15 %.
    const slack = n < 30 ? 0.025 : 0.015
    expect(Math.abs(covered / 20_000 - 0.95)).toBeLessThan(slack)
  })
})

describe('what has no Cpm', () => {
  it('is null without both limits', () => {
    expect(targetIndex({ lower: null, upper: 20 }, 14, 16, 2)).toBeNull()
    const one = { lower: 8, upper: null }
    expect(targetIndexEstimate(one, 14, 16, { sigma: 2, df: 9 }, 10, 0.95)).toBeNull()
  })

  it('is named: a target outside the limits, crossed limits, no spread', () => {
    const limits = { lower: 8, upper: 20 }
    expect(() => targetIndex(limits, 21, 16, 2)).toThrow(/target/)
    expect(() => targetIndex(limits, Number.NaN, 16, 2)).toThrow(/target/)
    expect(() => targetIndex(limits, 14, Number.NaN, 2)).toThrow(/mean/)
    expect(() => targetIndex(limits, 14, 16, 0)).toThrow(ArgumentError)
    expect(() => targetIndex({ lower: 20, upper: 8 }, 14, 16, 2)).toThrow(/limits/)
  })
})

describe('properties', () => {
  const limits = { lower: -5, upper: 7 }
  it('never exceeds Cp, is Cp on target, and falls alike on either side', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 20, noNaN: true }),
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        (offset, sigma) => {
          const cp = spreadIndex(limits, sigma) as number
          const above = targetIndex(limits, 1, 1 + offset, sigma) as number
          expect(above).toBeLessThanOrEqual(cp)
          expect(above).toBeCloseTo(targetIndex(limits, 1, 1 - offset, sigma) as number, 12)
          expect(targetIndex(limits, 1, 1, sigma)).toBe(cp)
        },
      ),
    )
  })
})
