import { describe, expect, it } from 'vitest'
import { Coverage, compareRules, drifting, fitKnownShop, joined } from './known-truth.ts'

/** The short form of tests/bench/shrinkage-coverage.ts, which takes 500 shops. */
const SHOPS = 30

const coverage = new Coverage()
const histories = Array.from({ length: SHOPS }, (_, i) => fitKnownShop(i + 1, coverage))

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
    const rules = compareRules(histories.flat())
    // At 2 % a history: more than 5 of 90 come once in thirty times.
    expect(rules.changed).toBeLessThanOrEqual(5)
    expect(rules.advised / rules.leftAlone).toBeLessThan(1.02)
    expect(rules.everyBuild / rules.leftAlone).toBeGreaterThan(1.85)
    expect(rules.everyBuild / rules.leftAlone).toBeLessThan(2.15)
  })

  it('comes close to the best possible under drift, and beats correcting on every build', () => {
    const long = Array.from({ length: SHOPS / 3 }, (_, i) =>
      [0, 1, 2].map((axis) =>
        joined([0, 1, 2].map((k) => histories[3 * i + k]?.[axis]).filter((h) => h !== undefined)),
      ),
    ).flat()
    const rules = compareRules(long.map((history, i) => drifting(history, 0.3, i)))
    // 30 histories of 180 builds; the full form has 500 and asks for 1.10.
    expect(rules.advised / rules.best).toBeLessThan(1.14)
    expect(rules.everyBuild / rules.advised).toBeGreaterThan(1.25)
    expect(rules.leftAlone / rules.advised).toBeGreaterThan(2)
  })
})
