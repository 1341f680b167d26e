import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { momentsOf } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { oneWayAnalysis } from '../../../src/variation/one-way.ts'
import { anovaSet, correctDigits } from '../description/nist-strd.ts'

const analyse = (groups: readonly (readonly number[])[]) => {
  const result = oneWayAnalysis(groups.map((group) => momentsOf(group)))
  if (result === null) throw new Error('no analysis')
  return result
}

describe('certified analyses (NIST Statistical Reference Datasets, one-way analysis of variance)', () => {
  // Digits that the certified values and the result share. The data of AtmWtAgt, SmLs04t and SmLs07t are not
  // representable: an exact analysis (mpmath 1.3.0) of the nearest doubles shares 10.2, 10.4 and 4.4 digits of F. On
  // top comes the rounding of each group's mean.
  it.each([
    ['SiRstvt', 13.4, 13.1, 12.9],
    ['AtmWtAgt', 10.9, 10.9, 11.7],
    ['SmLs01t', 15, 15, 14.9],
    ['SmLs04t', 9.3, 10.2, 9.2],
    ['SmLs07t', 3.3, 4.2, 3.2],
  ])('%s', (name, between, within, f) => {
    const set = anovaSet(name)
    const result = analyse(set.groups)
    expect(result.dfBetween).toBe(set.dfBetween)
    expect(result.dfWithin).toBe(set.dfWithin)
    expect(correctDigits(result.msBetween * result.dfBetween, set.ssBetween)).toBeGreaterThanOrEqual(between)
    expect(correctDigits(result.msWithin * result.dfWithin, set.ssWithin)).toBeGreaterThanOrEqual(within)
    expect(correctDigits(result.f, set.f)).toBeGreaterThanOrEqual(f)
  })

  // R 4.2.2: pf(F, dfBetween, dfWithin, lower.tail = FALSE) at the certified F.
  it.each([
    ['SiRstvt', 0.3494474934021928, 12],
    ['AtmWtAgt', 0.0002326844483389259, 9],
    ['SmLs01t', 2.583264337268952e-22, 11],
  ])('p of %s', (name, p, digits) => {
    expect(correctDigits(analyse(anovaSet(name).groups).p, p)).toBeGreaterThanOrEqual(digits)
  })
})

describe('edges', () => {
  it('has no F for one group, for single values, or where nothing differs', () => {
    expect(oneWayAnalysis([])).toBeNull()
    expect(oneWayAnalysis([momentsOf([1, 2])])).toBeNull()
    expect(oneWayAnalysis([momentsOf([1]), momentsOf([2])])).toBeNull()
    expect(oneWayAnalysis([momentsOf([3, 3]), momentsOf([3, 3])])).toBeNull()
  })

  it('has an infinite F and no doubt where only the means differ', () => {
    const result = analyse([
      [1, 1],
      [2, 2],
    ])
    expect(result.f).toBe(Number.POSITIVE_INFINITY)
    expect(result.p).toBe(0)
  })

  it('refuses a group without values', () => {
    expect(() => oneWayAnalysis([{ n: 0, mean: 0, m2: 0, min: 0, max: 0 }])).toThrow(ArgumentError)
  })
})

describe('properties', () => {
  const groups = fc.array(fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 6 }), {
    minLength: 2,
    maxLength: 6,
  })

  it('sums of squares between and within add up to the total', () => {
    fc.assert(
      fc.property(groups, (values) => {
        const result = oneWayAnalysis(values.map((group) => momentsOf(group)))
        fc.pre(result !== null)
        const total = momentsOf(values.flat()).m2
        const parts = result.msBetween * result.dfBetween + result.msWithin * result.dfWithin
        expect(Math.abs(parts - total)).toBeLessThanOrEqual(1e-12 * total)
      }),
    )
  })

  it('does not depend on the order of groups', () => {
    fc.assert(
      fc.property(groups, (values) => {
        const forwards = oneWayAnalysis(values.map((group) => momentsOf(group)))
        const backwards = oneWayAnalysis(values.toReversed().map((group) => momentsOf(group)))
        fc.pre(forwards !== null && Number.isFinite(forwards.f))
        expect(Math.abs((backwards?.f ?? Number.NaN) - forwards.f)).toBeLessThanOrEqual(
          1e-9 * (1 + forwards.f),
        )
      }),
    )
  })
})
