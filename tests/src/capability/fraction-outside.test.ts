import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { resampledFits } from '../../../src/capability/bootstrap.ts'
import { nearerIndexInterval } from '../../../src/capability/confidence.ts'
import { fitFamily } from '../../../src/capability/fit-family.ts'
import type { FittedDistribution } from '../../../src/capability/fitted-distribution.ts'
import { fractionOutside, fractionOutsideEstimate } from '../../../src/capability/fraction-outside.ts'
import { normalUpperQuantile } from '../../../src/distributions/normal.ts'
import { relativeError } from '../../reference/distributions/table.ts'
import { draws } from './draws.ts'

interface Case {
  readonly distribution: FittedDistribution
  readonly lower: number | null
  readonly upper: number | null
  readonly below: number | null
  readonly above: number | null
}

/** tests/reference/capability/quantile-method.R: R's own distributions. */
const { cases } = JSON.parse(
  readFileSync(new URL('../../reference/capability/quantile-method.json', import.meta.url), 'utf8'),
) as { cases: Case[] }

const normal: FittedDistribution = { family: 'normal', mean: 10, sigma: 0.1 }

describe('against R', () => {
  it.each(cases)('$distribution.family, limits $lower to $upper', (expected) => {
    const found = fractionOutside(expected, expected.distribution)
    for (const side of ['below', 'above'] as const) {
      const value = expected[side]
      if (value === null) expect(found[side]).toBeNull()
      // Limits far out in doubles: (10.9 − 9.8)/0.3 and the like carry a rounding that the tail magnifies.
      else expect(relativeError(found[side] as number, value), side).toBeLessThan(1e-10)
    }
  })

  it('keeps its digits eight sigma out: pnorm(8, lower.tail = FALSE) is 6.2209605742717841e-16', () => {
    const far = fractionOutside({ lower: null, upper: 8 }, { family: 'normal', mean: 0, sigma: 1 })
    expect(relativeError(far.above as number, 6.220960574271784e-16)).toBeLessThan(1e-13)
  })
})

describe('where limits are missing', () => {
  it('their fraction is missing too', () => {
    expect(fractionOutside({ lower: null, upper: null }, normal)).toEqual({
      below: null,
      above: null,
      total: null,
    })
    const one = fractionOutside({ lower: 9.8, upper: null }, normal)
    expect(one.above).toBeNull()
    expect(one.total).toBe(one.below)
  })

  it('crossed limits are named', () => {
    expect(() => fractionOutside({ lower: 11, upper: 9 }, normal)).toThrow(/lower limit 11 is above/)
  })
})

describe('intervals', () => {
  const random = draws(61)
  const values = Array.from({ length: 250 }, () => 10 + 0.1 * random.normal())

  it('come close to the exact one by noncentral t for a normal distribution and one limit', () => {
    const distribution = fitFamily('normal', values)?.distribution
    const resampled = resampledFits('normal', values, null, 2, 4000)
    if (distribution?.family !== 'normal' || resampled === null) throw new Error('no fit')
    const limits = { lower: null, upper: 10.35 }
    const found = fractionOutsideEstimate(limits, distribution, resampled, 0.95)
    const index = (10.35 - distribution.mean) / (3 * distribution.sigma)
    const exact = nearerIndexInterval(index, 250, 249, 0.95)
    // On the scale of the index, where a few per cent of the width are the bootstrap's own chance.
    const width = exact.upper - exact.lower
    const { above } = found
    expect(Math.abs(normalUpperQuantile(above?.lower ?? 0) / 3 - exact.upper)).toBeLessThan(0.1 * width)
    expect(Math.abs(normalUpperQuantile(above?.upper ?? 0) / 3 - exact.lower)).toBeLessThan(0.1 * width)
    expect(found.total).toEqual(above)
    expect(found.below).toBeNull()
  })

  it('cover the true fraction: 50 values, lognormal', () => {
    const truth = { family: 'lognormal', mu: 0, sigma: 0.5 } as const
    const limits = { lower: 0.2, upper: 5 }
    const fraction = fractionOutside(limits, truth).total as number
    const repeats = 200
    let covered = 0
    for (let i = 0; i < repeats; i++) {
      const drawn = Array.from({ length: 50 }, () => Math.exp(0.5 * random.normal()))
      const fit = fitFamily('lognormal', drawn)
      const resampled = resampledFits('lognormal', drawn, null, i, 300)
      if (fit === null || resampled === null) throw new Error('no fit')
      const { total } = fractionOutsideEstimate(limits, fit.distribution, resampled, 0.95)
      if (total !== null && total.lower <= fraction && fraction <= total.upper) covered++
    }
    // Standard error 1.5 %.
    expect(covered / repeats).toBeGreaterThan(0.89)
    expect(covered / repeats).toBeLessThan(0.985)
  })
})

describe('properties', () => {
  it('the total is the sum, and grows as limits close in', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.01, max: 2, noNaN: true }),
        fc.double({ min: 0.01, max: 0.99, noNaN: true }),
        (half, share) => {
          const wide = fractionOutside({ lower: 10 - half, upper: 10 + half }, normal)
          const close = fractionOutside({ lower: 10 - half * share, upper: 10 + half }, normal)
          expect(wide.total).toBe((wide.below as number) + (wide.above as number))
          expect(close.total as number).toBeGreaterThanOrEqual(wide.total as number)
        },
      ),
    )
  })
})
