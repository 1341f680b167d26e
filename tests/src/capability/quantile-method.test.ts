import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { FittedDistribution } from '../../../src/capability/fitted-distribution.ts'
import { nearerIndex, spreadIndex } from '../../../src/capability/indices.ts'
import { bindingLimits, quantileIndices } from '../../../src/capability/quantile-method.ts'
import { relativeError } from '../../reference/distributions/table.ts'

interface Case {
  readonly distribution: FittedDistribution
  readonly lower: number | null
  readonly upper: number | null
  readonly low: number
  readonly middle: number
  readonly high: number
  readonly spread: number | null
  readonly toLower: number | null
  readonly toUpper: number | null
}

/** tests/reference/capability/quantile-method.R: R's own distributions. */
const { cases } = JSON.parse(
  readFileSync(new URL('../../reference/capability/quantile-method.json', import.meta.url), 'utf8'),
) as { cases: Case[] }

const normal: FittedDistribution = { family: 'normal', mean: 10, sigma: 0.1 }

describe('against R', () => {
  it('covers every family', () => {
    expect(new Set(cases.map(({ distribution }) => distribution.family)).size).toBe(9)
  })

  it.each(cases)('$distribution.family, limits $lower to $upper', (expected) => {
    const found = quantileIndices(expected, expected.distribution)
    for (const name of ['low', 'middle', 'high', 'spread', 'toLower', 'toUpper'] as const) {
      const value = expected[name]
      if (value === null) expect(found[name], name).toBeNull()
      else expect(relativeError(found[name] as number, value), name).toBeLessThan(1e-10)
    }
  })
})

describe('where limits are missing', () => {
  it('one limit gives its own index and no index of spread', () => {
    const above = quantileIndices({ lower: null, upper: 10.4 }, normal)
    expect(above).toMatchObject({ spread: null, toLower: null })
    expect(above.nearer).toBe(above.toUpper)
    const below = quantileIndices({ lower: 9.5, upper: null }, normal)
    expect(below).toMatchObject({ spread: null, toUpper: null })
    expect(below.nearer).toBe(below.toLower)
  })

  it('no limit gives quantiles alone', () => {
    expect(quantileIndices({ lower: null, upper: null }, normal)).toMatchObject({ middle: 10, nearer: null })
  })

  it('crossed limits are named', () => {
    expect(() => quantileIndices({ lower: 2, upper: 1 }, normal)).toThrow(/lower limit 2 is above/)
  })
})

describe('limits that a part can break', () => {
  it('leave out the zero of a form deviation, and nothing else', () => {
    expect(bindingLimits({ lower: 0, upper: 0.1 }, 'flatness')).toEqual({ lower: null, upper: 0.1 })
    expect(bindingLimits({ lower: 0.4, upper: 1.6 }, 'roughness')).toEqual({ lower: 0.4, upper: 1.6 })
    expect(bindingLimits({ lower: 0, upper: 0.1 }, 'length')).toEqual({ lower: 0, upper: 0.1 })
  })
})

describe('properties', () => {
  const place = fc.double({ min: -50, max: 50, noNaN: true })
  const size = fc.double({ min: 0.01, max: 10, noNaN: true })

  it('are the normal indices for a normal distribution', () => {
    fc.assert(
      fc.property(place, size, place, size, (mean, sigma, lower, width) => {
        const limits = { lower, upper: lower + width }
        const found = quantileIndices(limits, { family: 'normal', mean, sigma })
        const tolerance = 1e-11 * (1 + Math.abs(mean - lower) / sigma + Math.abs(mean) / sigma)
        expect(Math.abs((found.spread as number) - (spreadIndex(limits, sigma) as number))).toBeLessThan(
          tolerance,
        )
        expect(
          Math.abs((found.nearer as number) - (nearerIndex(limits, mean, sigma) as number)),
        ).toBeLessThan(tolerance)
      }),
    )
  })

  it('do not depend on the unit', () => {
    fc.assert(
      fc.property(size, fc.double({ min: 0.8, max: 20, noNaN: true }), size, (scale, shape, unit) => {
        const before = quantileIndices(
          { lower: -1, upper: 3 },
          { family: 'Weibull', shape, scale, threshold: 0 },
        )
        const after = quantileIndices(
          { lower: -unit, upper: 3 * unit },
          { family: 'Weibull', shape, scale: scale * unit, threshold: 0 },
        )
        expect(relativeError(after.nearer as number, before.nearer as number)).toBeLessThan(1e-9)
        expect(relativeError(after.spread as number, before.spread as number)).toBeLessThan(1e-9)
      }),
    )
  })
})
