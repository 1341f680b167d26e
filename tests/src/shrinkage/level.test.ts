import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { Random } from '../../../sample-data/random.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { FactorEvidence, oddsOfMisfit } from '../../../src/shrinkage/factor-evidence.ts'
import { type Level, LevelTracker } from '../../../src/shrinkage/level.ts'

/** Source: tests/reference/shrinkage/level.py. */
const {
  sets,
}: {
  sets: readonly {
    values: number[]
    noise: number[]
    level: Omit<Level, 'builds'>
    factor: number
    logRatio: number
  }[]
} = JSON.parse(readFileSync(new URL('../../reference/shrinkage/level.json', import.meta.url), 'utf8'))

function track(values: readonly number[], noise: readonly number[]): Level | null {
  const tracker = new LevelTracker()
  for (const [i, value] of values.entries()) tracker.add(value, noise[i] as number)
  return tracker.level()
}

describe('exponentially weighted level', () => {
  it.each(sets)('is that of full covariance matrices: $values.length builds', ({ values, noise, level }) => {
    const found = track(values, noise)
    expect(found?.builds).toBe(values.length)
    expect(found?.value).toBeCloseTo(level.value, 11)
    for (const key of ['standardError', 'sigma', 'stepVariance', 'weight', 'driftProbability'] as const)
      expect((found?.[key] as number) / level[key], key).toBeCloseTo(1, 6)
  })

  it('does not exist before three builds, or where all are the same', () => {
    expect(track([1.19, 1.191], [1, 1])).toBeNull()
    expect(track([1.19, 1.19, 1.19, 1.19], [1, 1, 1, 1])).toBeNull()
  })

  it('moves with the unit', () => {
    const values = [3, 5, 4, 7, 8, 9, 7, 12]
    const one = track(
      values,
      values.map(() => 1),
    ) as Level
    const other = track(
      values.map((v) => 100 + 10 * v),
      values.map(() => 1),
    ) as Level
    expect(other.value).toBeCloseTo(100 + 10 * one.value, 9)
    expect(other.standardError).toBeCloseTo(10 * one.standardError, 9)
    expect(other.driftProbability).toBeCloseTo(one.driftProbability, 9)
  })

  it('refuses what is not finite and noise that is not above 0', () => {
    expect(() => new LevelTracker().add(Number.NaN, 1)).toThrow(ArgumentError)
    expect(() => new LevelTracker().add(1, 0)).toThrow(ArgumentError)
  })

  it('takes a weight that is given: the plain exponentially weighted average in the long run', () => {
    const values = Array.from({ length: 200 }, (_, i) => 1.19 + 0.0005 * Math.sin(7 * i * i))
    const tracker = new LevelTracker(0.3)
    let plain = values[0] as number
    for (const value of values) {
      tracker.add(value, 1)
      plain += 0.3 * (value - plain)
    }
    expect(tracker.level()?.value).toBeCloseTo(plain, 12)
    expect(tracker.level()?.weight).toBe(0.3)
    expect(() => new LevelTracker(1)).toThrow(ArgumentError)
  })
})

describe('evidence that a factor does not fit', () => {
  const evidenceOf = (values: readonly number[], noise: readonly number[], factor: number) => {
    const evidence = new FactorEvidence(factor)
    for (const [i, value] of values.entries()) evidence.add(value, noise[i] as number)
    return evidence
  }

  it.each(sets)(
    'is that of full covariance matrices: $values.length builds',
    ({ values, noise, factor, logRatio }) => {
      expect(evidenceOf(values, noise, factor).logRatio()).toBeCloseTo(logRatio, 7)
    },
  )

  it('is that of the new factor once it is changed', () => {
    const { values, noise } = sets.at(-1) as (typeof sets)[number]
    const changed = evidenceOf(values, noise, 1.19)
    changed.changeTo(1.191)
    expect(changed.logRatio()).toBeCloseTo(evidenceOf(values, noise, 1.191).logRatio(), 12)
  })

  it('exceeds r ever with a probability of 1/r at most where the factor fits (Ville)', () => {
    let exceeded = 0
    for (let seed = 0; seed < 400; seed++) {
      const random = Random.stream(seed, 'evidence')
      const evidence = new FactorEvidence(1.19)
      let most = 0
      for (let i = 0; i < 100; i++) {
        evidence.add(1.19 + 0.0005 * random.normal(), 1)
        most = Math.max(most, evidence.logRatio())
      }
      if (most > Math.log(10)) exceeded++
    }
    // 40 of 400 on average at most; more than 58 come once in a thousand times.
    expect(exceeded).toBeLessThanOrEqual(58)
  })

  it('counts for the other axes, in proportion to what was believed before', () => {
    expect(oddsOfMisfit([0])[0]).toBeCloseTo(1, 12)
    const [x, y, z] = oddsOfMisfit([0, 0, 0]) as [number, number, number]
    // None off 0.5, all off 0.44, each of six others 0.01: an axis is off in all and in three of the six.
    expect(x).toBeCloseTo(0.47 / 0.53, 12)
    expect(y).toBeCloseTo(x, 12)
    expect(z).toBeCloseTo(x, 12)
    const [, other] = oddsOfMisfit([8, 0, 0]) as [number, number, number]
    expect(other).toBeGreaterThan(5 * x)
    const [, against] = oddsOfMisfit([8, -4, 0]) as [number, number, number]
    expect(against).toBeLessThan(other / 20)
  })
})
