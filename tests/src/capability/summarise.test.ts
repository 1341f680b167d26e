import { describe, expect, it } from 'vitest'
import { profileIndexPair } from '../../../src/capability/profile-interval.ts'
import { summariseCapability } from '../../../src/capability/summarise.ts'
import { normalLower } from '../../../src/distributions/normal.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { draws } from './draws.ts'
import { FLATNESS, judgedBuilds, LENGTH } from './judged-builds.ts'

/** 30 builds of 5 values. */
function judged(characteristic: Characteristic, draw: () => number, asked = 1.33) {
  const builds = Array.from({ length: 30 }, () => Array.from({ length: 5 }, draw))
  const { basis, value: values } = judgedBuilds(characteristic, builds)
  const summary = summariseCapability({ ...basis, requirement: { ...basis.requirement, value: asked } })
  if (summary === null || basis.shape === null) throw new Error('nothing judged')
  return { summary, shape: basis.shape, values }
}

describe('a length that scatters normally', () => {
  const random = draws(3)
  const { summary, shape } = judged(LENGTH, () => 10.01 + 0.02 * random.normal())

  it('is judged by mean and sigma', () => {
    expect(shape.fitted.family).toBe('normal')
    const { mean, sigmaOverall } = summary
    // ISO 22514-2: (U − mean) / 3s and (U − L) / 6s.
    expect(summary.ppk?.value).toBeCloseTo((10.1 - mean) / (3 * (sigmaOverall as number)), 12)
    expect(summary.pp?.value).toBeCloseTo(0.2 / (6 * (sigmaOverall as number)), 12)
    expect(summary.toleranceUsed?.value).toBeCloseTo((6 * (sigmaOverall as number)) / 0.2, 12)
  })

  it('states the share outside as the two tails, with an interval around it', () => {
    const { mean, sigmaOverall, outside } = summary
    const sigma = sigmaOverall as number
    const tails = normalLower((9.9 - mean) / sigma) + normalLower((mean - 10.1) / sigma)
    expect((outside.total?.value as number) / tails).toBeCloseTo(1, 12)
    expect(outside.total?.lower).toBeLessThan(tails)
    expect(outside.total?.upper).toBeGreaterThan(tails)
  })

  it('cannot be told from a requirement at its own estimate, and says how much more it would take', () => {
    const { summary: near } = judged(LENGTH, () => 10 + 0.025 * random.normal())
    expect(near.verdict).toBe('not yet sure')
    expect(near.toSettle?.parts).toBeGreaterThan(near.n)
    expect(near.toSettle?.builds).toBeGreaterThan(near.builds)
  })
})

describe('a flatness near its floor', () => {
  const random = draws(4)
  const { summary, shape, values } = judged(FLATNESS, () => Math.abs(0.01 + 0.02 * random.normal()))

  it('has no index towards zero, and so no Pp', () => {
    expect(summary.pp).toBeNull()
    expect(summary.outside.below).toBeNull()
    expect(summary.ppk).not.toBeNull()
  })

  it('is judged by the quantiles of its own distribution', () => {
    expect(shape.fitted.family).not.toBe('normal')
    const { low, middle, high, interval } = shape.byQuantiles as NonNullable<typeof shape.byQuantiles>
    expect(interval).toBe('profile likelihood')
    expect(low).toBeGreaterThanOrEqual(0)
    // ISO 22514-2: (U − X50 %) / (X99.865 % − X50 %).
    expect(summary.ppk?.value).toBeCloseTo((0.1 - middle) / (high - middle), 12)
    const alone = profileIndexPair({ lower: null, upper: 0.1 }, shape.fitted, values, 1, 0.95)
    expect(summary.ppk?.lower).toBeLessThanOrEqual((alone?.nearer?.lower as number) + 1e-6)
  })

  it('has the same Cpk while in control, and none otherwise', () => {
    expect(summary.cpk).toEqual(summary.stable ? summary.ppk : null)
  })
})

describe('builds that moved once, and whose means scatter less than their parts explain', () => {
  const levels = Array.from({ length: 30 }, (_, i) => (i < 15 ? 10 : 10.03))
  const { basis } = judgedBuilds(
    LENGTH,
    levels.map((level) => [-2, -1, 0, 1, 2].map((step) => level + 0.01 * step)),
  )
  const summary = summariseCapability(basis)

  it('have the Cp of the sigma inside builds: variance components are not negative', () => {
    // σ² = σ² between + σ² within with both at least 0: H. Scheffé, The Analysis of Variance (1959), section 7.2. Inside, by
    // hand: s² = 2.5e-4 with 120 degrees of freedom; c4(121) = 0.997919 by 4 (n − 1) / (4 n − 3).
    expect(summary?.sigmaBetween).toBe(0)
    expect(summary?.sigmaWithin).toBeCloseTo(Math.sqrt(2.5e-4) / 0.997919, 7)
    expect(summary?.sigmaInControl).toBe(summary?.sigmaWithin)
    expect(summary?.cp?.value).toBeCloseTo(0.2 / (6 * (summary?.sigmaWithin as number)), 12)
  })
})
