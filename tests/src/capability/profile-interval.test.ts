import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { fitFamily } from '../../../src/capability/fit-family.ts'
import type { FittedDistribution } from '../../../src/capability/fitted-distribution.ts'
import { profileFractionOutside, profileIndexPair } from '../../../src/capability/profile-interval.ts'
import { quantileIndices } from '../../../src/capability/quantile-method.ts'
import { draws } from './draws.ts'

interface Reference {
  readonly values: number[]
  readonly upper: number
  readonly lower: number
  readonly cases: {
    readonly family: FittedDistribution['family']
    readonly toUpper: readonly [number, number, number]
    readonly spread: readonly [number, number, number]
    readonly above: readonly [number, number, number]
  }[]
}

/** tests/reference/capability/profile-interval.py, SciPy: its own distributions and searches. */
const reference = JSON.parse(
  readFileSync(new URL('../../reference/capability/profile-interval.json', import.meta.url), 'utf8'),
) as Reference

describe('against SciPy', () => {
  it.each(reference.cases)('$family', ({ family, toUpper, spread, above }) => {
    const { values, upper, lower } = reference
    const fit = fitFamily(family, values)
    if (fit === null) throw new Error('no fit')
    const one = profileIndexPair({ lower: null, upper }, fit.distribution, values, 1, 0.95)
    const both = profileIndexPair({ lower, upper }, fit.distribution, values, 1, 0.95)
    const share = profileFractionOutside({ lower: null, upper }, fit.distribution, values, 1, 0.95)
    for (const [found, [value, low, high]] of [
      [one?.nearer, toUpper],
      [both?.spread, spread],
      [share?.above, above],
    ] as const) {
      expect(found?.value).toBeCloseTo(value, 4)
      expect(found?.lower).toBeCloseTo(low, 3)
      expect(found?.upper).toBeCloseTo(high, 3)
    }
  })
})

it('is null for a family with a place of its own, and for too few independent values', () => {
  const values = [1, 2, 3, 4, 5, 6]
  const normal = fitFamily('normal', values)?.distribution as FittedDistribution
  expect(profileIndexPair({ lower: null, upper: 9 }, normal, values, 1, 0.95)).toBeNull()
  const gamma = fitFamily('gamma', values)?.distribution as FittedDistribution
  expect(profileIndexPair({ lower: null, upper: 9 }, gamma, values, 3, 0.95)).toBeNull()
})

// The bootstrap covers 82 % here; see tests/reference/capability/bootstrap-coverage.csv and profile-coverage.csv.
it('covers the true index of 30 folded normal values half a sigma from the floor', () => {
  const truth = { family: 'folded normal', mu: 0.5, sigma: 1 } as const
  const { middle, high } = quantileIndices({ lower: null, upper: null }, truth)
  const limits = { lower: null, upper: middle + 1.33 * (high - middle) }
  const random = draws(5)
  let missed = 0
  for (let sample = 0; sample < 150; sample++) {
    const values = Array.from({ length: 30 }, () => Math.abs(0.5 + random.normal()))
    const fit = fitFamily('folded normal', values)
    const found = fit && profileIndexPair(limits, fit.distribution, values, 1, 0.95)?.nearer
    if (!found || found.lower > 1.33 || found.upper < 1.33) missed++
  }
  // 5 % of 150 is 7.5; 18 or more come in one run of two thousand.
  expect(missed).toBeLessThan(18)
})
