import { describe, expect, it } from 'vitest'
import { Random } from '../../../sample-data/random.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { type AdjustmentSettings, DEFAULT_ADJUSTMENT, deadband } from '../../../src/shrinkage/adjustment.ts'
import { type FactorHistory, type Replay, replay } from '../../../src/shrinkage/replay.ts'

function steady(builds: number, seed: number) {
  const random = Random.stream(seed, 'replay')
  const needed = Float64Array.from({ length: builds }, () => 1.19 + 0.0005 * random.normal())
  return {
    positions: needed.map((_, i) => i),
    needed,
    noise: needed.map(() => 1),
    printed: needed.map(() => 1.19),
  }
}

const alone = (history: FactorHistory, settings: AdjustmentSettings, delay?: number): Replay =>
  replay([history], settings, delay)[0] as Replay

describe('replay', () => {
  // W. E. Deming, Out of the Crisis (1986), chapter 11: rule 2 of the funnel doubles the variance.
  it.each([0, 1, 3])('doubles the variance by correcting on every build, %d builds late', (delay) => {
    const { everyBuild, leftAlone } = alone(steady(20_000, 3), DEFAULT_ADJUSTMENT, delay)
    // Ratio of two variances of 20,000 builds, correlated: sure to about 1 %.
    expect(everyBuild.meanSquare / leftAlone.meanSquare).toBeGreaterThan(1.95)
    expect(everyBuild.meanSquare / leftAlone.meanSquare).toBeLessThan(2.05)
  })

  it('changes nothing before enough builds are measured, and has the record as it was', () => {
    const history = steady(60, 4)
    const played = alone(history, DEFAULT_ADJUSTMENT, 2)
    expect(played.from).toBe(27)
    for (const rule of [played.asPrinted, played.leftAlone, played.everyBuild, played.advised])
      expect(rule.factors.slice(0, 27)).toEqual(history.printed.slice(0, 27))
    expect(played.asPrinted.factors).toEqual(history.printed)
    expect(played.asPrinted.changes).toBe(0)
  })

  it('uses no build before it is measured', () => {
    const history = steady(60, 5)
    const later = { ...history, needed: history.needed.map((h, i) => (i >= 40 ? h + 0.01 : h)) }
    const one = alone(history, DEFAULT_ADJUSTMENT, 1)
    const other = alone(later, DEFAULT_ADJUSTMENT, 1)
    expect(other.advised.factors.slice(0, 42)).toEqual(one.advised.factors.slice(0, 42))
    expect(other.everyBuild.factors.slice(0, 42)).toEqual(one.everyBuild.factors.slice(0, 42))
    expect(other.everyBuild.factors[42]).not.toBe(one.everyBuild.factors[42])
  })

  it('follows a lasting step, by no more than the largest step at a time', () => {
    const history = steady(80, 6)
    const moved = { ...history, needed: history.needed.map((h, i) => (i >= 40 ? h + 0.006 : h)) }
    const { advised, leftAlone } = alone(moved, { ...DEFAULT_ADJUSTMENT, largestStep: 0.001 }, 1)
    for (let i = 1; i < 80; i++)
      expect(
        Math.abs((advised.factors[i] as number) - (advised.factors[i - 1] as number)),
      ).toBeLessThanOrEqual(0.001 + 1e-12)
    // The level follows single builds, which scatter by 0.0005, so that it is sure to about that much.
    expect(Math.abs((advised.factors[79] as number) - 1.196)).toBeLessThan(0.001)
    expect(advised.meanSquare).toBeLessThan(leftAlone.meanSquare / 2)
  })

  it('refuses arrays of different lengths, a delay below 0 and settings out of range', () => {
    const history = steady(30, 1)
    expect(() => alone({ ...history, printed: [1] }, DEFAULT_ADJUSTMENT)).toThrow(ArgumentError)
    expect(() => alone(history, DEFAULT_ADJUSTMENT, -1)).toThrow(ArgumentError)
    expect(() => alone(history, { ...DEFAULT_ADJUSTMENT, leastBuilds: 1 })).toThrow(ArgumentError)
    expect(() => alone(history, { ...DEFAULT_ADJUSTMENT, largestStep: 0 })).toThrow(ArgumentError)
  })
})

describe('deadband', () => {
  const drifting = {
    value: 1.19,
    standardError: 1e-5,
    sigma: 0.0005,
    stepVariance: 1e-8,
    weight: 0.2,
    driftProbability: 0.99,
    builds: 60,
  }

  const sure = 1e9

  it('is the cheapest: both a wider and a narrower one cost more on average', () => {
    // Cost of a deadband L by build, for small steps: mean square L²/6 and one change in L²/v builds.
    const price = 0.5 * drifting.sigma ** 2
    const cost = (l: number) => l ** 2 / 6 + (price * drifting.stepVariance) / l ** 2
    const best = deadband(drifting, sure, { ...DEFAULT_ADJUSTMENT, changeCost: 0.5 })
    expect(cost(best)).toBeLessThan(cost(0.99 * best))
    expect(cost(best)).toBeLessThan(cost(1.01 * best))
  })

  it('grows with the cost of a change', () => {
    const at = (changeCost: number) => deadband(drifting, sure, { ...DEFAULT_ADJUSTMENT, changeCost })
    expect(at(1)).toBeGreaterThan(at(0.1))
  })

  it('is where what a change saves outweighs what it costs if the factor fits after all', () => {
    const settings = { ...DEFAULT_ADJUSTMENT, changeCost: 0, needlessCost: 2 }
    const band = deadband(drifting, 3, settings)
    // Three to one that it does not fit: 3/4 × d² saved against 1/4 × 2σ² lost.
    expect((3 / 4) * band ** 2).toBeCloseTo((1 / 4) * 2 * drifting.sigma ** 2, 15)
    expect(deadband(drifting, 0, settings)).toBe(Number.POSITIVE_INFINITY)
  })
})
