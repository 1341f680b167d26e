import { describe, expect, it } from 'vitest'
import { Coverage, compareRules, driftingShops, fitKnownShop, joinedByThree } from './known-truth.ts'

/** The short form of tests/bench/shrinkage-coverage.ts, which takes 500 shops. */
const SHOPS = 30

const coverage = new Coverage()
const shops = Array.from({ length: SHOPS }, (_, i) => fitKnownShop(i + 1, coverage))

describe('on shops whose truth is known', () => {
  it('covers the shrinkage and offset of builds as often as stated', () => {
    // 5400 intervals each, those of one shop's axes not independent: sure to about half a percent.
    for (const name of ['shrinkage, build', 'offset, build']) {
      expect(coverage.counts.get(name)?.of).toBe(60 * 3 * SHOPS)
      expect(coverage.percent(name)).toBeGreaterThan(94)
      expect(coverage.percent(name)).toBeLessThan(97)
    }
  })

  it('covers the shrinkage and offset of the process as often as stated', () => {
    // 90 intervals: 95 % holds 80 to 90 of them, but for one in a thousand.
    expect(coverage.percent('shrinkage, overall')).toBeGreaterThan(87)
    expect(coverage.percent('offset, overall')).toBeGreaterThan(87)
  })

  it('corrects next to never without drift, where correcting on every build doubles the mean square', () => {
    const rules = compareRules(shops)
    // At 2.2 % an axis (tests/reference/shrinkage/coverage.csv): more than 6 of 90 come once in 200 times.
    expect(rules.changed).toBeLessThanOrEqual(6)
    expect(rules.advised / rules.leftAlone).toBeLessThan(1.02)
    expect(rules.everyBuild / rules.leftAlone).toBeGreaterThan(1.85)
    expect(rules.everyBuild / rules.leftAlone).toBeLessThan(2.15)
  })

  it.each([
    [60, shops],
    [180, joinedByThree(shops)],
  ])(
    'comes close to the best possible under drift over %d builds, and beats correcting on every build',
    (_, own) => {
      const rules = compareRules(driftingShops(own, 0.3))
      // The full form has 500 shops and asks for 1.10.
      expect(rules.advised / rules.best).toBeLessThan(1.14)
      expect(rules.everyBuild / rules.advised).toBeGreaterThan(1.25)
      expect(rules.leftAlone / rules.advised).toBeGreaterThan(2)
    },
  )

  it('leaves the other axes next to alone where one of three drifts', () => {
    const own = driftingShops(shops, 0.3, true)
    expect(compareRules(own, (a) => a > 0).advised / compareRules(own, (a) => a > 0).leftAlone).toBeLessThan(
      1.05,
    )
    const drifted = compareRules(own, (a) => a === 0)
    expect(drifted.advised / drifted.best).toBeLessThan(1.3)
  })
})
