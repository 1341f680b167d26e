import { describe, expect, it } from 'vitest'
import { effectiveSample } from '../../../src/capability/effective.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { normalSource } from '../run-length/simulation.ts'

/** Grouped normal values: k builds of n parts with the given sigmas between and within. */
function draw(k: number, n: number, between: number, within: number, normal: () => number) {
  return Array.from({ length: k }, () => {
    const level = between * normal()
    return momentsOf(Array.from({ length: n }, () => level + within * normal()))
  })
}

describe('how much a grouped sample tells', () => {
  it('is all its values where builds are alike', () => {
    const sample = effectiveSample([momentsOf([1, 2, 3]), momentsOf([1, 2, 3])])
    expect(sample).toMatchObject({ n: 6, mean: 2, nEffective: 6, df: 5 })
  })

  it('is about one value a build where builds are all that differs', () => {
    const sample = effectiveSample(
      [10, 12, 9, 11].map((level) => momentsOf([level - 1e-6, level, level + 1e-6])),
    )
    // s² n / MB with the spread inside gone: SST / (n − 1) · n / (SST / (k − 1)) = n (k − 1) / (n − 1)
    expect(sample?.nEffective).toBeCloseTo((12 * 3) / 11, 5)
    expect(sample?.df).toBeCloseTo(3, 5)
  })

  it('says how sure the mean is: its variance over repeated histories is σ² over the effective number', () => {
    const normal = normalSource(99)
    const means: number[] = []
    let predicted = 0
    const repeats = 3000
    for (let i = 0; i < repeats; i++) {
      const sample = effectiveSample(draw(25, 12, 1, 1, normal))
      if (sample === null) throw new Error('a sample exists')
      means.push(sample.mean)
      predicted += sample.sigma ** 2 / sample.nEffective / repeats
    }
    const observed = means.reduce((sum, mean) => sum + mean * mean, 0) / repeats
    // Relative standard error of a variance from 3000 values: √(2/3000) = 2.6 %
    expect(Math.abs(predicted / observed - 1)).toBeLessThan(0.08)
  })

  it('says how sure sigma is: its relative variance is 1 / (2 df)', () => {
    const normal = normalSource(100)
    const sigmas: number[] = []
    let df = 0
    const repeats = 3000
    for (let i = 0; i < repeats; i++) {
      const sample = effectiveSample(draw(40, 10, 1, 1, normal))
      if (sample === null) throw new Error('a sample exists')
      sigmas.push(sample.sigma)
      df += sample.df / repeats
    }
    const mean = sigmas.reduce((sum, sigma) => sum + sigma, 0) / repeats
    const variance = sigmas.reduce((sum, sigma) => sum + (sigma - mean) ** 2, 0) / (repeats - 1)
    expect(Math.abs((variance / mean ** 2) * 2 * df - 1)).toBeLessThan(0.1)
  })

  it('does not exist without two values or without spread', () => {
    expect(effectiveSample([])).toBeNull()
    expect(effectiveSample([momentsOf([1])])).toBeNull()
    expect(effectiveSample([momentsOf([1, 1]), momentsOf([1])])).toBeNull()
  })
})
