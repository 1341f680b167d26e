import { readFileSync } from 'node:fs'
import { expect, it } from 'vitest'
import { designEffect } from '../../../src/capability/design-effect.ts'
import { plotBand } from '../../../src/capability/plot-band.ts'
import { momentsOf, standardDeviation } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { draws } from './draws.ts'

/** Values from SciPy: see the script beside them. */
const reference = JSON.parse(
  readFileSync(new URL('../../reference/capability/plot-band.json', import.meta.url), 'utf8'),
) as {
  mean: number
  sigma: number
  rows: { n: number; worth: number; place: number; low: number; high: number }[]
}
const { mean, sigma } = reference
const NORMAL = { family: 'normal', mean, sigma } as const

it.each(reference.rows)(
  'is the interval of an order statistic, $n values worth $worth, place $place',
  ({ n, worth, place, low, high }) => {
    const point = plotBand(NORMAL, n, worth, 0.95)[place]
    expect(point?.low).toBeCloseTo(low, 11)
    expect(point?.high).toBeCloseTo(high, 11)
  },
)

it('holds the least, the middle and the greatest of independent values as often as it says', () => {
  const { normal } = draws(11)
  const n = 21
  const band = plotBand({ family: 'normal', mean: 0, sigma: 1 }, n, n, 0.9)
  const places = [
    [0, 0],
    [10, 30],
    [20, 60],
  ] as const
  const samples = 4000
  const held = places.map(() => 0)
  for (let k = 0; k < samples; k++) {
    const sorted = Float64Array.from({ length: n }, normal).sort()
    for (const [j, [i, at]] of places.entries()) {
      const value = sorted[i] as number
      const { low, high } = band[at] as { low: number; high: number }
      if (value >= low && value <= high) held[j] = (held[j] as number) + 1
    }
  }
  // Three standard errors of 90 % in 4000 samples are 1.4 %.
  for (const count of held) expect(Math.abs(count / samples - 0.9)).toBeLessThan(0.015)
})

it('holds at least as many of the points where builds differ and the parameters are fitted', () => {
  const { normal } = draws(12)
  const [builds, each] = [20, 6]
  const n = builds * each
  const samples = 400
  const heights = [0, 15, 30, 45, 60]
  const held = heights.map(() => 0)
  for (let k = 0; k < samples; k++) {
    const groups = Array.from({ length: builds }, () => {
      const own = 0.7 * normal()
      return Float64Array.from({ length: each }, () => own + 0.7 * normal())
    })
    const values = Float64Array.from(groups.flatMap((group) => [...group])).sort()
    const moments = momentsOf(values)
    const fitted = {
      family: 'normal',
      mean: moments.mean,
      sigma: standardDeviation(moments) as number,
    } as const
    const band = plotBand(fitted, n, n / designEffect(groups, 1), 0.95)
    for (const [j, at] of heights.entries()) {
      const { below, low, high } = band[at] as { below: number; low: number; high: number }
      const value = values[Math.round(below * n - 0.5)] as number
      if (value >= low && value <= high) held[j] = (held[j] as number) + 1
    }
  }
  for (const count of held) expect(count / samples).toBeGreaterThan(0.95)
})

it('refuses what is no sample', () => {
  expect(() => plotBand(NORMAL, 1, 1, 0.95)).toThrow(ArgumentError)
  expect(() => plotBand(NORMAL, 10, 11, 0.95)).toThrow(ArgumentError)
})
