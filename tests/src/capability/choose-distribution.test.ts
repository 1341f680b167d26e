import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { chooseDistribution, type DistributionChoice } from '../../../src/capability/choose-distribution.ts'
import type { CharacteristicKind } from '../../../src/domain/characteristic.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { choiceSentence } from '../../../src/words/choice-words.ts'
import { type Draws, draws } from './draws.ts'

const sentenceOf = (choice: DistributionChoice | null) =>
  choice === null ? null : choiceSentence(choice.distribution.family, choice.reason)

function sample(n: number, draw: () => number): number[] {
  return Array.from({ length: n }, draw)
}

/** Share of the samples for which each family was taken. */
function shares(
  kind: CharacteristicKind,
  repeats: number,
  make: () => { values: number[]; builds: number[] | null },
): Record<string, number> {
  const found: Record<string, number> = {}
  for (let i = 0; i < repeats; i++) {
    const { values, builds } = make()
    const family = chooseDistribution(kind, values, builds)?.distribution.family ?? 'none'
    found[family] = (found[family] ?? 0) + 1 / repeats
  }
  return found
}

/** Values of k builds of m parts, normal, with correlation rho of two parts of one build. */
function grouped(random: Draws, k: number, m: number, rho: number) {
  const values: number[] = []
  const builds: number[] = []
  for (let build = 0; build < k; build++) {
    const level = Math.sqrt(rho) * random.normal()
    for (let i = 0; i < m; i++) {
      values.push(25 + 0.02 * (level + Math.sqrt(1 - rho) * random.normal()))
      builds.push(build)
    }
  }
  return { values, builds }
}

describe('the criterion, against SciPy', () => {
  /** tests/reference/distributions/fits.py: greatest log-likelihoods by SciPy. */
  const { fits } = JSON.parse(
    readFileSync(new URL('../../reference/distributions/fits.json', import.meta.url), 'utf8'),
  ) as { fits: { family: string; logLikelihood: number; values: number[] }[] }
  const names = { lognormal: 'lognormal', weibull: 'Weibull', gamma: 'gamma', foldedNormal: 'folded normal' }

  it.each(
    Object.entries(names).map(([key, family]) => [family, fits.find((fit) => fit.family === key)] as const),
  )('is Schwarz’s −2 ln L + k ln n for the %s', (family, fit) => {
    if (fit === undefined) throw new Error('no such fit')
    const n = fit.values.length
    const found = chooseDistribution('flatness', fit.values, null)?.candidates.find(
      (c) => c.family === family,
    )
    expect(found?.criterion).toBeCloseTo(-2 * fit.logLikelihood + 2 * Math.log(n), 6)
  })
})

describe('lengths', () => {
  it.each([30, 60, 120, 250, 500])('stay normal in at least 95 in 100 normal samples of %i', (n) => {
    const random = draws(n)
    const found = shares('length', 1000, () => ({
      values: sample(n, () => 25 + 0.02 * random.normal()),
      builds: null,
    }))
    expect(found.normal).toBeGreaterThan(0.98)
  })

  it.each([
    [5, 48, 0.6],
    [10, 48, 0.3],
    [25, 12, 0.6],
    [25, 48, 0.9],
  ])('stay normal where %i normal builds of %i parts differ, correlation %f', (k, m, rho) => {
    const random = draws(k * m)
    expect(shares('length', 200, () => grouped(random, k, m, rho)).normal).toBeGreaterThan(0.97)
  })

  it('without the builds’ labels the same values would often be called not normal', () => {
    const random = draws(5)
    const blind = shares('length', 40, () => ({ ...grouped(random, 10, 24, 0.9), builds: null }))
    expect(blind.normal).toBeLessThan(0.8)
  })

  it.each([0.5, 1])('stay normal where the gauge has steps of %f sigma', (step) => {
    const random = draws(17)
    const found = shares('diameter', 40, () => ({
      values: sample(200, () => step * Math.round(random.normal() / step)),
      builds: null,
    }))
    expect(found.normal).toBeGreaterThan(0.95)
  })

  it('follow skewness and heavy tails once they are beyond doubt', () => {
    const random = draws(23)
    const skewed = shares('length', 25, () => ({
      values: sample(400, () => 20 + Math.exp(0.4 * random.normal())),
      builds: null,
    }))
    expect(skewed.normal ?? 0).toBe(0)
    const heavy = shares('length', 25, () => ({
      values: sample(400, () => Math.sinh(random.normal() / 1.2)),
      builds: null,
    }))
    expect(heavy['Johnson S_U']).toBeGreaterThan(0.9)
  })

  it('never take two humps for a shape', () => {
    const random = draws(31)
    const mixture = shares('length', 20, () => ({
      values: sample(300, () => (random.uniform() < 0.5 ? -2 : 2) + random.normal()),
      builds: null,
    }))
    expect(mixture.normal).toBeGreaterThan(0.95)
    const shelves = sample(300, () => 1 / (1 + Math.exp(-random.normal() / 0.4)))
    const choice = chooseDistribution('length', shelves, null)
    expect(choice?.distribution.family).toBe('normal')
    expect(sentenceOf(choice)).toMatch(/look for coarse gauge steps, outliers or mixed levels/)
  })
})

describe('deviations of form and place', () => {
  const repeats = 200
  it.each([30, 100, 500])('keep what is usual for them, n = %i', (n) => {
    const random = draws(n + 1)
    const flat = shares('flatness', repeats, () => ({
      values: sample(n, () => Math.abs(0.01 + 0.02 * random.normal())),
      builds: null,
    }))
    expect(flat['folded normal']).toBeGreaterThan(0.95)
    const position = shares('position', repeats, () => ({
      values: sample(n, () => Math.hypot(random.normal(), random.normal())),
      builds: null,
    }))
    expect(position.Rayleigh).toBeGreaterThan(0.95)
  })

  it('leave it for what fits clearly better', () => {
    const random = draws(41)
    const found = shares('roughness', repeats, () => ({
      values: sample(150, () => Math.exp(0.5 * random.normal())),
      builds: null,
    }))
    expect(found.lognormal).toBeGreaterThan(0.7)
    expect(found['folded normal'] ?? 0).toBeLessThan(0.05)
  })

  it('take a position off its target for folded normal', () => {
    const random = draws(43)
    const found = shares('position', repeats, () => ({
      values: sample(60, () => Math.hypot(4 + random.normal(), random.normal())),
      builds: null,
    }))
    expect(found['folded normal']).toBeGreaterThan(0.9)
  })

  it('bear many values of exactly zero', () => {
    const values = [0, 0, 0, 0, ...sample(60, draws(3).uniform)]
    expect(chooseDistribution('position', values, null)?.reason.usual).toBe('folded normal')
  })

  it('are treated like lengths where values are below zero', () => {
    const random = draws(47)
    const choice = chooseDistribution('flatness', sample(80, random.normal), null)
    expect(choice?.distribution.family).toBe('normal')
    expect(choice?.reason.belowFloor).toBe(true)
    expect(sentenceOf(choice)).toMatch(/values below zero rule out/)
  })
})

describe('the reason', () => {
  it('says that values are too few, and what they are worth', () => {
    const random = draws(51)
    const few = chooseDistribution('length', sample(29, random.normal), null)
    expect(few?.reason).toMatchObject({ kind: 'too few values', n: 29, normality: null, advantage: 0 })
    const { values, builds } = grouped(random, 4, 20, 0.95)
    const alike = chooseDistribution('length', values, builds)
    expect(alike?.reason.kind).toBe('too few values')
    expect(alike?.reason.nEffective).toBeLessThan(30)
    expect(sentenceOf(alike)).toMatch(/80 values in builds that differ, worth \d+ independent ones/)
  })

  it('gives the test and the advantage', () => {
    const random = draws(53)
    const choice = chooseDistribution(
      'length',
      sample(400, () => Math.exp(0.5 * random.normal())),
      null,
    )
    expect(choice?.reason.kind).toBe('another family clearly better')
    expect(choice?.reason.normality?.p).toBeLessThan(0.005)
    const [best, ...others] = choice?.candidates ?? []
    const normal = others.find(({ family }) => family === 'normal')
    expect(choice?.reason.advantage).toBeCloseTo((normal?.criterion ?? 0) - (best?.criterion ?? 0), 9)
    expect(sentenceOf(choice)).toMatch(/the Anderson–Darling test refutes that/)
  })

  it('bounds the statistic where p is 0.5 %: exp(1.2937 − 5.709 A + 0.0186 A²) of Stephens’ table 4.9', () => {
    const bound =
      chooseDistribution('length', sample(50, draws(1).normal), null)?.reason.normality?.bound ?? 0
    expect(Math.exp(1.2937 - 5.709 * bound + 0.0186 * bound ** 2)).toBeCloseTo(0.005, 4)
  })
})

describe('no distribution', () => {
  it('is chosen for fewer than five values or values all the same', () => {
    expect(chooseDistribution('length', [], null)).toBeNull()
    expect(chooseDistribution('length', [1, 2, 3, 4], null)).toBeNull()
    expect(
      chooseDistribution(
        'flatness',
        sample(40, () => 0.1),
        null,
      ),
    ).toBeNull()
  })

  it('is chosen for what is no number, or labels that do not match', () => {
    expect(() => chooseDistribution('length', [1, 2, 3, 4, Number.NaN], null)).toThrow(ArgumentError)
    expect(() => chooseDistribution('length', [1, 2, 3, 4, 5], [1])).toThrow(/builds: 1 for 5 values/)
  })
})
