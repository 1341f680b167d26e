import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { type Level, LevelTracker } from '../../../src/shrinkage/level.ts'

/** Source: tests/reference/shrinkage/level.py. */
const { sets }: { sets: readonly { values: number[]; noise: number[]; level: Omit<Level, 'builds'> }[] } =
  JSON.parse(readFileSync(new URL('../../reference/shrinkage/level.json', import.meta.url), 'utf8'))

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
})
