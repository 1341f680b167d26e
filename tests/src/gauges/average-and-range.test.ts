import { describe, expect, it } from 'vitest'
import { GAUGE_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { averageAndRange, averageRangeDivisor } from '../../../src/gauges/average-and-range.ts'

describe('d2* (A. J. Duncan, Quality Control and Industrial Statistics, appendix; AIAG, appendix C; from memory)', () => {
  it.each([
    [2, 1, '1.41421'],
    [3, 1, '1.91155'],
    [4, 1, '2.23887'],
    [5, 1, '2.48124'],
    [10, 1, '3.17905'],
    [2, 5, '1.19105'],
    [3, 10, '1.71573'],
  ])('m = %i, g = %i: %s', (m, g, published) =>
    expect(averageRangeDivisor(m, g)).toBeCloseTo(Number(published), 4),
  )

  it.each([
    [2, 0.8862],
    [3, 0.5908],
  ])('K1 for %i trials and more than fifteen ranges: %f', (trials, published) =>
    expect(1 / averageRangeDivisor(trials, 30)).toBeCloseTo(published, 4),
  )
})

describe('the manual’s example, nothing rounded on the way', () => {
  it('comes within the rounding of the manual’s own figures', () => {
    // AIAG, Measurement Systems Analysis, chapter III, with K factors of four figures (from memory): 0.20186, 0.22967, 0.30577,
    // 1.10460, 1.14613.
    const study = averageAndRange(GAUGE_EXAMPLE)
    if ('reason' in study) throw new Error(study.reason)
    expect(study.repeatability).toBeCloseTo(0.20186, 5)
    expect(Math.abs((study.reproducibility as number) - 0.22967)).toBeLessThan(2e-5)
    expect(Math.abs(study.gauge - 0.30577)).toBeLessThan(2e-5)
    expect(Math.abs(study.part - 1.1046)).toBeLessThan(2e-4)
    expect(Math.abs(study.total - 1.14613)).toBeLessThan(2e-4)
  })
})

describe('what cannot be analysed', () => {
  const some = (keep: (r: (typeof GAUGE_EXAMPLE)[number], i: number) => boolean) =>
    averageAndRange(GAUGE_EXAMPLE.filter(keep))
  it('says why', () => {
    expect(some((_, i) => i > 0)).toEqual({ reason: 'missing readings' })
    expect(some(() => false)).toEqual({ reason: 'missing readings' })
    expect(some((_, i) => i < 10)).toEqual({ reason: 'one trial' })
    expect(some(({ part }) => part === '1')).toEqual({ reason: 'one part' })
  })

  it('one inspector is judged without reproducibility', () => {
    const study = some(({ inspector }) => inspector === 'A')
    expect(study).toMatchObject({ reproducibility: null, inspectorRange: null })
  })

  it('no scatter leaves no categories', () => {
    const study = averageAndRange(GAUGE_EXAMPLE.map((r) => ({ ...r, value: Number(r.part) })))
    expect(study).toMatchObject({ repeatability: 0, gauge: 0, categories: null })
  })
})
