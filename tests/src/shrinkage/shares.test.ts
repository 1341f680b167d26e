import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import type { ShrinkageFit } from '../../../src/shrinkage/fit.ts'
import { type PartDeviation, partDeviations } from '../../../src/shrinkage/part-deviations.ts'
import { explainedShares } from '../../../src/shrinkage/shares.ts'
import { termsOf } from '../../../src/shrinkage/terms.ts'

interface Reference {
  readonly builds: readonly { reuse: number; lot: string; furnace: string; shrinkage: number }[]
  readonly parts: readonly { build: number; x: number; y: number; z: number; tray: string; value: number }[]
  readonly expected: Readonly<Record<string, { share: number; f: number; df: [number, number]; p: number }>>
}

/** Source: tests/reference/shrinkage/shares.R. */
const { builds, parts, expected }: Reference = JSON.parse(
  readFileSync(new URL('../../reference/shrinkage/shares.json', import.meta.url), 'utf8'),
)

const estimate = (value: number) => ({ value, standardError: 1e-5, lower: value, upper: value, df: 100 })
const fit: ShrinkageFit = {
  confidence: 0.95,
  terms: [],
  builds: [],
  overall: { X: { shrinkage: estimate(0.156), offset: null, covariance: 0 }, Y: null, Z: null },
  variation: { X: null, Y: null, Z: null },
  perBuild: builds.map(({ shrinkage }, i) => ({
    id: i,
    position: i,
    axes: { X: { shrinkage: estimate(shrinkage), offset: null, covariance: 0 }, Y: null, Z: null },
  })),
  perLoad: [],
  observations: [],
  apart: [],
  scatter: { relative: { X: 2e-7, Y: 0, Z: 0 }, own: new Map(), green: null, df: 100 },
  problems: [],
}
const conditions = builds.map(({ reuse, lot, furnace }, i) => ({
  buildId: i,
  powderReuse: reuse,
  powderLot: lot,
  furnace,
}))
const deviations = parts.map(
  ({ build, x, y, z, tray, value }): PartDeviation => ({ buildId: build, value, bed: { x, y, z }, tray }),
)

describe('shares of variance explained', () => {
  const shares = explainedShares(fit, 'X', conditions, deviations)

  it.each(Object.keys(expected))('are those of lm in R: %s', (factor) => {
    const found = shares.find((share) => share.factor === factor)
    const r = expected[factor]
    expect(found?.share).toBeCloseTo(r?.share as number, 9)
    expect((found?.f as number) / (r?.f as number)).toBeCloseTo(1, 8)
    expect(found?.df).toEqual(r?.df)
    expect(found?.p).toBeCloseTo(r?.p as number, 9)
  })

  it('are taken of all variance by the variance of their level', () => {
    const mean = builds.reduce((sum, { shrinkage }) => sum + shrinkage, 0) / builds.length
    const between =
      builds.reduce((sum, { shrinkage }) => sum + (shrinkage - mean) ** 2, 0) / (builds.length - 1)
    // Of parts, relative to the sintered size: 2e-7, brought to the green size that shrinkage speaks of.
    const within = 2e-7 * (1 - 0.156) ** 2
    for (const { share, ofAll, level } of shares)
      expect(ofAll).toBeCloseTo((share * (level === 'builds' ? between : within)) / (between + within), 12)
  })

  it('leave out what is not recorded or does not vary', () => {
    const bare = conditions.map((c) => ({ ...c, powderReuse: null, powderLot: 'K6' }))
    expect(explainedShares(fit, 'X', bare, []).map(({ factor }) => factor)).toEqual(['furnace'])
  })
})

describe('deviations of parts', () => {
  it('are relative to the mean of the build, over all characteristics of the axis', () => {
    const common = {
      designator: '1',
      name: 'length',
      kind: 'length',
      lower: null,
      upper: null,
      unit: 'mm',
    } as const
    const terms = [
      termsOf({ ...common, id: 1, nominal: 40, axis: 'X' }, 1),
      termsOf({ ...common, id: 2, nominal: 10, axis: 'X' }, 1),
      termsOf({ ...common, id: 3, nominal: 10, axis: 'Y' }, 1),
    ].flatMap((t) => (t === null ? [] : [t]))
    const value = (part: string, characteristicId: number, v: number) => ({
      characteristicId,
      buildId: 7,
      part,
      value: v,
      bed: null,
      tray: null,
    })
    const found = partDeviations(
      [
        value('a', 1, 40.04),
        value('b', 1, 39.96),
        value('a', 2, 10.01),
        value('b', 2, 9.99),
        value('a', 3, 12),
      ],
      terms,
      'X',
    )
    expect(found.map((d) => d.value)).toEqual([expect.closeTo(0.001, 12), expect.closeTo(-0.001, 12)])
  })
})
