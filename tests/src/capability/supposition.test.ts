import { describe, expect, it } from 'vitest'
import { quantileIndices } from '../../../src/capability/quantile-method.ts'
import type { Shape } from '../../../src/capability/shape.ts'
import { summariseCapability } from '../../../src/capability/summarise.ts'
import { limitFromText } from '../../../src/capability/supposed-limit.ts'
import {
  limitsForValues,
  supposeNormal,
  supposeShaped,
  suppositionObstacle,
} from '../../../src/capability/supposition.ts'
import type { Supposition } from '../../../src/capability/what-if.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { draws } from './draws.ts'
import { FLATNESS, judgedBuilds, LENGTH } from './judged-builds.ts'

const TODAY: Supposition = { centred: false, buildsAlike: false, limits: null }

/** Thirty builds of five values. */
function shop(characteristic: Characteristic, draw: (build: number) => number, perBuild = 5) {
  const builds = Array.from({ length: 30 }, (_, i) => Array.from({ length: perBuild }, () => draw(i)))
  return judgedBuilds(characteristic, builds)
}

const { normal, weibull } = draws(31)
const offsets = Array.from({ length: 30 }, () => 0.01 * normal())
const length = shop(LENGTH, (build) => 10.03 + (offsets[build] as number) + 0.015 * normal())
const flatness = shop(FLATNESS, () => Math.abs(0.02 * normal()))
const skew = shop(LENGTH, () => 9.97 + weibull(1.1, 0.015))

describe('a normal characteristic', () => {
  it('has today’s figures where nothing is supposed', () => {
    const summary = summariseCapability(length.basis)
    const today = supposeNormal(length.basis, TODAY)
    expect(today?.nearer).toEqual(summary?.ppk)
    expect(today?.spread).toEqual(summary?.pp)
    expect(today?.outside).toEqual(summary?.outside)
    expect(today?.toleranceUsed).toEqual(summary?.toleranceUsed)
  })

  it('has Pp for its Ppk in the middle, and the scatter inside builds where they are alike', () => {
    const summary = summariseCapability(length.basis)
    const centred = supposeNormal(length.basis, { ...TODAY, centred: true })
    expect(centred?.nearer?.value).toBeCloseTo(summary?.pp?.value as number, 12)
    expect(supposeNormal(length.basis, { ...TODAY, buildsAlike: true })?.sigma).toBe(summary?.sigmaWithin)
  })
})

describe('a characteristic that is not normal', () => {
  it('is judged anew against other limits', () => {
    const { basis, judge } = flatness
    const supposition = { ...TODAY, limits: { lower: null, upper: 0.08 } }
    expect(suppositionObstacle(basis, supposition)).toBeNull()
    const figures = basis.shape?.byQuantiles
    const limits = limitsForValues(basis, supposition, figures as NonNullable<typeof figures>)
    const found = supposeShaped(basis, supposition, judge(limits) as Shape)
    // (U − X50 %) / (X99.865 % − X50 %), ISO 22514-2.
    const { middle, high } = figures as NonNullable<typeof figures>
    expect(found?.nearer?.value).toBeCloseTo((0.08 - middle) / (high - middle), 10)
    expect(found?.limits).toEqual({ lower: null, upper: 0.08 })
  })

  it('lies with its median in the middle where it is centred', () => {
    const { basis, judge } = skew
    const figures = basis.shape?.byQuantiles
    expect(basis.shape?.fitted.family).toMatch(/^Johnson/)
    const centred = { ...TODAY, centred: true }
    expect(suppositionObstacle(basis, centred)).toBeNull()
    const { low, middle, high } = figures as NonNullable<typeof figures>
    const limits = limitsForValues(basis, centred, figures as NonNullable<typeof figures>)
    expect((limits.lower as number) + (limits.upper as number)).toBeCloseTo(2 * middle, 10)
    // The farther of the two tails decides: half the tolerance over it.
    const found = quantileIndices(limits, (judge(limits) as Shape).fitted)
    expect(found.nearer).toBeCloseTo(0.1 / Math.max(high - middle, middle - low), 8)
  }, 20_000)
})

describe('what cannot be supposed', () => {
  const { basis } = length
  const limits = (lower: number | null, upper: number | null) => ({ ...TODAY, limits: { lower, upper } })
  it.each([
    ['limits that are crossed', basis, limits(10.2, 10.1), 'crossed limits'],
    ['no limit at all', basis, limits(null, null), 'no limits'],
    ['a limit in another unit', basis, limits(9.9, 10_100), 'far limit'],
    ['a middle with one limit', basis, { ...limits(null, 10.1), centred: true }, 'no middle'],
    ['a flatness in the middle', flatness.basis, { ...limits(0.01, 0.1), centred: true }, 'floor'],
    ['a flatness with only its floor', flatness.basis, limits(0, null), 'no limits'],
    [
      'no difference of builds where values are not normal',
      flatness.basis,
      { ...TODAY, buildsAlike: true },
      'not normal',
    ],
    [
      'builds alike where each has one part',
      shop(LENGTH, () => 10 + 0.01 * normal(), 1).basis,
      { ...TODAY, buildsAlike: true },
      'single values',
    ],
    ['anything of values that are all the same', shop(LENGTH, () => 10).basis, TODAY, 'no spread'],
  ] as const)('%s', (_, of, supposition, obstacle) => {
    expect(suppositionObstacle(of, supposition)).toBe(obstacle)
  })
})

describe('a limit as it is written', () => {
  it.each([
    ['12.35', 12.35],
    [' 12,35 ', 12.35],
    ['−0.05', -0.05],
    ['.5', 0.5],
    ['', null],
    ['  ', null],
    ['12.3.5', undefined],
    ['1,234.5', undefined],
    ['12 mm', undefined],
    ['1e9', undefined],
    ['NaN', undefined],
    ['Infinity', undefined],
  ])('“%s” is %s', (text, limit) => {
    expect(limitFromText(text)).toBe(limit)
  })
})
