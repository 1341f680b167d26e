import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { SHRINKAGE } from '../../../sample-data/physics.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { offsetEffect } from '../../../src/shrinkage/aim.ts'
import { anisotropy } from '../../../src/shrinkage/anisotropy.ts'
import { fitShrinkage } from '../../../src/shrinkage/fit.ts'
import {
  anisotropySeries,
  chartSeries,
  neededFactorSeries,
  offsetSeries,
  openSignals,
  shrinkageSeries,
} from '../../../src/shrinkage/series.ts'
import { termsOf } from '../../../src/shrinkage/terms.ts'
import { shopData } from './shop-data.ts'

const data = shopData(generateShop(33, { leaveOut: PLANTED_IDS.filter((id) => id !== 'powder-lot-step') }))
const fit = fitShrinkage(data)

describe('series over builds', () => {
  it('are charted as individuals, and the step of the powder lot signals along Z alone', () => {
    const along = (axis: 'X' | 'Z') => chartSeries(shrinkageSeries(fit, axis), DEFAULT_STUDY, data.builds)
    const z = along('Z')
    expect(z.form).toBe('individuals')
    expect(z.subgroups.length).toBe(60)
    const open = openSignals(z, new Set())
    expect(open.length).toBeGreaterThan(0)
    expect(open[0]?.side).toBe('above')
    const x = openSignals(along('X'), new Set())
    expect(x.filter(({ points }) => points.length >= 8)).toEqual([])
  })

  it('do not show a change of the factor: shrinkage stays where it was', () => {
    const changed = shopData(
      generateShop(33, { leaveOut: PLANTED_IDS.filter((id) => id !== 'scale-correction') }),
    )
    const { values, buildIds } = shrinkageSeries(fitShrinkage(changed), 'Y')
    const mean = (of: (id: number) => boolean) => {
      const own = [...values].filter((_, i) => of(buildIds[i] as number))
      return own.reduce((sum, v) => sum + v, 0) / own.length
    }
    expect(Math.abs(mean((id) => id >= 430) - mean((id) => id < 430))).toBeLessThan(4e-4)
  })

  it('hold a signal open until one of its builds has a finding', () => {
    const chart = chartSeries(shrinkageSeries(fit, 'Z'), DEFAULT_STUDY, data.builds)
    const every = new Set(data.builds.map(({ id }) => id))
    expect(openSignals(chart, every)).toEqual([])
  })

  it('have offsets of about 0.005 mm and the factor that both call for', () => {
    const offsets = offsetSeries(fit, 'X')
    const shrinkage = shrinkageSeries(fit, 'X')
    const needed = neededFactorSeries(fit, 'X')
    const effect = offsetEffect(fit.terms, 'X')
    for (const [i, offset] of offsets.values.entries()) {
      expect(Math.abs(offset - 0.005)).toBeLessThan(0.006)
      expect(needed.values[i]).toBeCloseTo((1 - effect * offset) / (1 - (shrinkage.values[i] as number)), 12)
    }
  })

  it('have anisotropy as the difference of axes', () => {
    const x = shrinkageSeries(fit, 'X')
    const y = shrinkageSeries(fit, 'Y')
    const difference = anisotropySeries(fit, 'Y', 'X')
    expect(difference.values[7]).toBeCloseTo((y.values[7] as number) - (x.values[7] as number), 14)
    const found = anisotropy(fit).find(({ first, second }) => first === 'Y' && second === 'X')?.difference
    expect(Math.abs((found?.value ?? 0) - (SHRINKAGE.Y - SHRINKAGE.X))).toBeLessThan(
      4 * (found?.standardError ?? 0),
    )
  })
})

describe('effect of an offset on an axis', () => {
  const length = (id: number, nominal: number, half: number | null, sense: -1 | 0 | 1) => {
    const terms = termsOf(
      {
        id,
        designator: String(id),
        name: 'length',
        kind: 'length',
        nominal,
        lower: half === null ? null : nominal - half,
        upper: half === null ? null : nominal + half,
        unit: 'mm',
        axis: 'X',
      },
      1,
      { sense },
    )
    if (terms === null) throw new Error('not linear')
    return terms
  }

  it('gives the factor with the least squared deviation over tolerance', () => {
    const terms = [length(1, 40, 0.16, 1), length(2, 18, 0.07, 0), length(3, 5, 0.03, -1)]
    const kept = 0.84
    const offset = 0.02
    const loss = (factor: number) =>
      terms.reduce((sum, { characteristic: { nominal, upper }, sense }) => {
        const n = nominal as number
        return sum + ((n * factor * kept + sense * offset - n) / ((upper as number) - n)) ** 2
      }, 0)
    const best = (1 - offsetEffect(terms, 'X') * offset) / kept
    expect(loss(best)).toBeLessThan(loss(best + 1e-5))
    expect(loss(best)).toBeLessThan(loss(best - 1e-5))
  })

  it('is none where senses cancel or nothing is there', () => {
    expect(offsetEffect([length(1, 10, 0.1, 1), length(2, 10, 0.1, -1)], 'X')).toBe(0)
    expect(offsetEffect([], 'X')).toBe(0)
    expect(offsetEffect([length(1, 20, null, 1)], 'X')).toBeCloseTo(1 / 20, 12)
  })
})
