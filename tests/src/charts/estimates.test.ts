import { describe, expect, it } from 'vitest'
import { centralMovingRange, sigmaFromMovingRange, sigmaWithin } from '../../../src/charts/estimates.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { normalSource } from '../run-length/simulation.ts'

describe('sigma inside subgroups', () => {
  it.each(['pooled-s', 'average-s', 'average-range'] as const)(
    'by %s is unbiased for subgroups of unequal sizes, as sure as its degrees of freedom say',
    (estimator) => {
      const normal = normalSource(20261125)
      const repeats = 20_000
      const { mean, relativeVariance, df } = overRepeats(repeats, () =>
        sigmaWithin(
          [2, 3, 5, 5, 8].map((n) => momentsOf(Array.from({ length: n }, () => 2 * normal()))),
          estimator,
        ),
      )
      // Standard error of the mean: 2 · 0.17 / √20000 = 0.0024
      expect(Math.abs(mean - 2)).toBeLessThan(0.01)
      // A standard deviation with ν degrees of freedom has relative variance 1 / (2 ν), but for terms in 1 / ν².
      expect(relativeVariance * 2 * df).toBeGreaterThan(0.95)
      expect(relativeVariance * 2 * df).toBeLessThan(1.08)
    },
  )

  it('by average s and average range of equal sizes is the plain average over the constant', () => {
    const groups = [momentsOf([1, 2, 3]), momentsOf([4, 4, 7])]
    const average = (a: number, b: number) => (a + b) / 2
    // c4(3) 0.886227, d2(3) 1.692569: tests/reference/control-chart-constants.csv
    expect(sigmaWithin(groups, 'average-s')?.sigma).toBeCloseTo(
      average(1, Math.sqrt(3)) / 0.88622692545276,
      12,
    )
    expect(sigmaWithin(groups, 'average-range')?.sigma).toBeCloseTo(average(2, 3) / 1.6925687506433, 12)
  })

  it('does not exist for single values', () => {
    for (const estimator of ['pooled-s', 'average-s', 'average-range'] as const) {
      expect(sigmaWithin([momentsOf([1]), momentsOf([2])], estimator)).toBeNull()
    }
  })
})

describe('sigma from moving ranges', () => {
  it.each(['average', 'median'] as const)(
    'by their %s is unbiased, as sure as its degrees of freedom say',
    (estimator) => {
      const normal = normalSource(7)
      const { mean, relativeVariance, df } = overRepeats(10_000, () =>
        sigmaFromMovingRange(Array.from({ length: 200 }, normal), estimator),
      )
      expect(Math.abs(mean - 1)).toBeLessThan(0.006)
      // 1.4 % is the sampling error of this ratio.
      expect(relativeVariance * 2 * df).toBeGreaterThan(0.95)
      expect(relativeVariance * 2 * df).toBeLessThan(1.05)
    },
  )

  it('are central in the usual sense', () => {
    expect(centralMovingRange([1, 2, 4, 8], 'average')).toBeCloseTo(7 / 3, 12)
    expect(centralMovingRange([1, 2, 4, 8], 'median')).toBe(2)
    expect(centralMovingRange([1, 2, 4], 'median')).toBe(1.5)
    expect(centralMovingRange([1], 'median')).toBeNull()
  })
})

function overRepeats(repeats: number, draw: () => { sigma: number; df: number } | null) {
  let sum = 0
  let squares = 0
  let df = 0
  for (let i = 0; i < repeats; i++) {
    const estimate = draw()
    if (estimate === null) throw new Error('an estimate exists')
    sum += estimate.sigma
    squares += estimate.sigma ** 2
    df = estimate.df
  }
  const mean = sum / repeats
  return { mean, relativeVariance: squares / repeats / mean ** 2 - 1, df }
}
