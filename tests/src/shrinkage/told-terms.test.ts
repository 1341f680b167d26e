import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import { predictChange } from '../../../src/shrinkage/predict.ts'
import { settingsWords } from '../../../src/shrinkage/settings-words.ts'
import { processState } from '../../../src/shrinkage/state.ts'
import { termsOf } from '../../../src/shrinkage/terms.ts'
import { varianceSources, varianceWords } from '../../../src/shrinkage/variance-sources.ts'
import { plain } from '../../../src/words/sentence.ts'
import { shopData } from './shop-data.ts'

const pin: Characteristic = {
  id: 1,
  designator: '10',
  name: 'pin bore diameter',
  kind: 'diameter',
  nominal: 6,
  lower: 5.95,
  upper: 6.05,
  unit: 'mm',
  axis: null,
}
const data = shopData(generateShop(21, { leaveOut: PLANTED_IDS }))
const fit = fitShrinkage(data)
const factors = { x: 1.1851, y: 1.1887, z: 1.1996 }

describe('what is told of a size', () => {
  it('goes before what is read from the drawing: an axis, the mean of X and Y, or none', () => {
    expect(termsOf(pin, 1)).toMatchObject({ weights: { X: 0.5, Y: 0.5, Z: 0 }, sense: -1, counts: true })
    expect(termsOf(pin, 1, { along: 'Z' })?.weights).toEqual({ X: 0, Y: 0, Z: 1 })
    expect(termsOf({ ...pin, axis: 'Z' }, 1, { along: 'XY' })?.weights).toEqual({ X: 0.5, Y: 0.5, Z: 0 })
    expect(termsOf(pin, 1, { along: 'none' })).toBeNull()
    expect(termsOf(pin, 1, { sense: 1, counts: false })).toMatchObject({
      sense: 1,
      senseTold: true,
      counts: false,
    })
    expect(termsOf({ ...pin, kind: 'flatness' }, 1, { along: 'X' })).toBeNull()
    // Multiples of each part's own tolerance are no size.
    expect(termsOf({ ...pin, unit: '× own tolerance' }, 1, { along: 'X' })).toBeNull()
  })
})

describe('a size that does not count', () => {
  // 0.2 mm off along X: a drawing error, say, that would pull the axis along.
  const off = {
    ...data,
    cells: data.cells.map((cell) =>
      cell.characteristicId === 1
        ? { ...cell, mean: cell.mean + 0.2, min: cell.min + 0.2, max: cell.max + 0.2 }
        : cell,
    ),
  }
  const terms = data.terms.map((term) => (term.characteristic.id === 1 ? { ...term, counts: false } : term))
  const apart = fitShrinkage({ ...off, terms })

  it('leaves shrinkage as if it were not there', () => {
    const without = fitShrinkage({
      ...data,
      terms: data.terms.filter(({ characteristic }) => characteristic.id !== 1),
    })
    expect(apart.overall.X?.shrinkage.value).toBeCloseTo(without.overall.X?.shrinkage.value as number, 12)
    expect(apart.overall.X?.offset?.standardError).toBeCloseTo(
      without.overall.X?.offset?.standardError as number,
      12,
    )
    const pulled = fitShrinkage(off)
    expect(
      Math.abs((pulled.overall.X?.shrinkage.value ?? 0) - (without.overall.X?.shrinkage.value ?? 0)),
    ).toBeGreaterThan(5e-4)
  })

  it('is predicted all the same, by its standing deviation and its own scatter', () => {
    const [found] = predictChange(processState(apart), factors, factors).filter(
      ({ characteristic }) => characteristic.id === 1,
    )
    const [sound] = predictChange(processState(fit), factors, factors).filter(
      ({ characteristic }) => characteristic.id === 1,
    )
    expect((found?.present.mean.value ?? 0) - (sound?.present.mean.value ?? 0)).toBeCloseTo(0.2, 2)
    expect((found?.present.sigmaWithin ?? 0) / (sound?.present.sigmaWithin ?? 1)).toBeGreaterThan(0.85)
    expect((found?.present.sigmaWithin ?? 0) / (sound?.present.sigmaWithin ?? 1)).toBeLessThan(1.15)
  })
})

describe('where variance comes from', () => {
  it('adds up to all of it, places taken out of what parts scatter by', () => {
    const relative = fit.scatter?.relative.X ?? 0
    const places = {
      components: [{ kind: 'tray', variance: relative / 4, effects: [] } as const],
      residual: relative,
      parts: 100,
      builds: 10,
    }
    const sources = varianceSources(fit, 'X', places)
    expect(sources.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12)
    const of = (source: string) => sources.find((each) => each.source === source)?.share ?? 0
    expect(of('parts') / of('tray')).toBeCloseTo(3, 10)
    const builds = (fit.variation.X?.buildShrinkage ?? 0) ** 2
    const kept = 1 - (fit.overall.X?.shrinkage.value ?? 0)
    expect(of('builds') / of('tray')).toBeCloseTo(builds / ((kept * kept * relative) / 4), 8)
    expect(varianceWords('X', sources)).toMatch(
      /^All at once, the variance of shrinkage along X comes from: builds \d+ %,/,
    )
  })
})

describe('what other settings would have done, in words', () => {
  it('compares what they would have left with what those in force would have', () => {
    const rule = (meanSquare: number, changes: number) => ({ meanSquare, changes })
    expect(plain(settingsWords('X', rule(2, 5), rule(3, 1)))).toBe(
      'X: 1.50 times the mean square deviation of the settings in force, with one change of factor in place of five.',
    )
    expect(plain(settingsWords('Y', rule(2, 5), rule(2.001, 5)))).toMatch(
      /^Y: the same mean square deviation as/,
    )
    expect(plain(settingsWords('Z', rule(2, 5), null))).toMatch(/too short/)
    expect(plain(settingsWords('Z', null, rule(2, 2)))).toBe('Z: two changes of factor.')
  })
})
