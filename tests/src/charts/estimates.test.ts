import { describe, expect, it } from 'vitest'
import { sigmaFromMovingRange, sigmaWithin } from '../../../src/charts/estimates.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { normalSource } from '../run-length/simulation.ts'

describe('sigma inside subgroups', () => {
  it('is unbiased for subgroups of unequal sizes', () => {
    const normal = normalSource(20261125)
    const repeats = 20_000
    let sum = 0
    for (let i = 0; i < repeats; i++) {
      const groups = [2, 3, 5].map((n) => momentsOf(Array.from({ length: n }, () => 2 * normal())))
      sum += sigmaWithin(groups)?.sigma ?? 0
    }
    // Standard error of the mean: 2 · 0.27 / √20000 = 0.004
    expect(Math.abs(sum / repeats - 2)).toBeLessThan(0.016)
  })

  it('does not exist for single values', () => {
    expect(sigmaWithin([momentsOf([1]), momentsOf([2])])).toBeNull()
  })
})

describe('sigma from moving ranges', () => {
  it('is unbiased, with the relative variance of 0.605 degrees of freedom a difference', () => {
    const normal = normalSource(7)
    const repeats = 20_000
    const length = 60
    let sum = 0
    let squares = 0
    let df = 0
    for (let i = 0; i < repeats; i++) {
      const estimate = sigmaFromMovingRange(Array.from({ length }, normal))
      sum += estimate?.sigma ?? 0
      squares += (estimate?.sigma ?? 0) ** 2
      df = estimate?.df ?? 0
    }
    const mean = sum / repeats
    const relativeVariance = squares / repeats / mean ** 2 - 1
    expect(Math.abs(mean - 1)).toBeLessThan(0.004)
    // A standard deviation with ν degrees of freedom has relative variance 1 / (2 ν); 1 % is the sampling error here.
    expect(relativeVariance * 2 * df).toBeGreaterThan(0.96)
    expect(relativeVariance * 2 * df).toBeLessThan(1.04)
  })
})
