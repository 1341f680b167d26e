import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { aboveZero } from '../../../src/capability/above-zero.ts'
import { chooseDistribution } from '../../../src/capability/choose-distribution.ts'
import { type Family, fitFamily } from '../../../src/capability/fit-family.ts'
import type { FittedDistribution } from '../../../src/capability/fitted-distribution.ts'
import { profileIndexPair } from '../../../src/capability/profile-interval.ts'
import { quantileIndices } from '../../../src/capability/quantile-method.ts'
import { choiceSentence } from '../../../src/words/choice-words.ts'
import { draws } from './draws.ts'

interface Case {
  readonly family: Family
  readonly step: number
  readonly zeros: number
  readonly ppk: number
  readonly values: readonly number[]
}

/** tests/reference/capability/zeros.R: the likelihood of values that lie below half a step. */
const { cases, upper } = JSON.parse(
  readFileSync(new URL('../../reference/capability/zeros.json', import.meta.url), 'utf8'),
) as { cases: Case[]; upper: number }

const limits = { lower: null, upper }

describe('values of exactly zero', () => {
  it.each(cases)(
    'give $family by steps of $step the index of the exact likelihood, to a hundredth of it',
    ({ family, values, zeros, ppk }) => {
      expect(values.filter((value) => value === 0)).toHaveLength(zeros)
      const fit = fitFamily(family, values)?.distribution as FittedDistribution
      expect(Math.abs((quantileIndices(limits, fit).toUpper as number) / ppk - 1)).toBeLessThan(0.01)
      // The index of the exact likelihood lies well inside the interval.
      const nearer = profileIndexPair(limits, fit, values, 1, 0.5)?.nearer
      expect(nearer?.lower).toBeLessThan(ppk)
      expect(nearer?.upper).toBeGreaterThan(ppk)
    },
  )

  it('do not rule a distribution out that has none there', () => {
    const random = draws(61)
    for (const steps of [12.5, 5, 2.5]) {
      const values = Array.from(
        { length: 876 },
        () => Math.round(Math.hypot(random.normal(), random.normal()) * steps) / steps,
      )
      const choice = chooseDistribution('flatness', [0, ...values], null)
      expect(choice?.distribution.family).toBe('Rayleigh')
      expect(choice?.reason.roundedZeros).toBe(1 + values.filter((value) => value === 0).length)
    }
  })

  it('leave the folded normal where it is the one they come from', () => {
    const random = draws(67)
    for (const mean of [0, 0.5, 1]) {
      const values = Array.from({ length: 876 }, () =>
        Math.abs(Math.round((mean + random.normal()) * 12) / 12),
      )
      expect(values).toContain(0)
      const choice = chooseDistribution('flatness', values, null)
      expect(choice?.distribution.family).toBe('folded normal')
      expect(choice?.reason.roundedZeros).toBe(0)
    }
  })

  it('are counted in the sentence', () => {
    const random = draws(71)
    const values = Array.from({ length: 200 }, () => Math.hypot(random.normal(), random.normal()))
    const sentence = (zeros: readonly number[]) => {
      const choice = chooseDistribution('position', [...zeros, ...values], null)
      return choice === null ? '' : choiceSentence(choice.distribution.family, choice.reason)
    }
    expect(sentence([])).not.toMatch(/zero/)
    expect(sentence([0])).toMatch(/^The Rayleigh .* One value of exactly zero is read as rounded\.$/)
    expect(sentence([0, 0])).toMatch(/ Two values of exactly zero are read as rounded\.$/)
  })
})

describe('putting values above zero', () => {
  it('takes a third of the least value, and nothing else', () => {
    expect([...Array.from(aboveZero([0.3, 0, 0.6, 0]))]).toEqual([0.3, 0.3 / 3, 0.6, 0.3 / 3])
    const positive = [0.1, 0.2]
    expect(aboveZero(positive)).toBe(positive)
    const nothing = [0, 0]
    expect(aboveZero(nothing)).toBe(nothing)
  })
})
