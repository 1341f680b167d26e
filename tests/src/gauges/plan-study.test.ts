import { describe, expect, it } from 'vitest'
import { chiSquareQuantile, chiSquareUpperQuantile } from '../../../src/distributions/chi-square.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { expectedHalfWidth, planStudy, type StudyAim } from '../../../src/gauges/plan-study.ts'

const machine: StudyAim = {
  of: 'tolerance',
  share: 0.2,
  inspectorShare: 0,
  halfWidth: 0.03,
  confidence: 0.95,
}
const hand: StudyAim = { of: 'spread', share: 0.2, inspectorShare: 0.3, halfWidth: 0.1, confidence: 0.95 }

describe('half the expected interval', () => {
  it('of a machine’s share of tolerance is that of chi-square', () => {
    const df = 10 * (3 - 1)
    const half =
      (Math.sqrt(df / chiSquareQuantile(0.025, df)) - Math.sqrt(df / chiSquareUpperQuantile(0.025, df))) / 2
    expect(expectedHalfWidth(machine, 10, 1, 3)).toBeCloseTo(0.2 * half, 10)
  })

  it('shrinks with parts and with inspectors', () => {
    expect(expectedHalfWidth(hand, 20, 3, 3)).toBeLessThan(expectedHalfWidth(hand, 10, 3, 3))
    expect(expectedHalfWidth(hand, 10, 6, 3)).toBeLessThan(0.6 * expectedHalfWidth(hand, 10, 3, 3))
  })
})

describe('the study of fewest readings', () => {
  it('is enough, and no smaller one with as many inspectors and trials is', () => {
    for (const aim of [machine, hand]) {
      const plan = planStudy(aim)
      expect(plan?.halfWidth).toBeLessThanOrEqual(aim.halfWidth)
      expect(plan?.readings).toBe((plan?.parts ?? 0) * (plan?.inspectors ?? 0) * (plan?.trials ?? 0))
      const fewer = expectedHalfWidth(aim, (plan?.parts ?? 0) - 1, plan?.inspectors ?? 0, plan?.trials ?? 0)
      expect(fewer).toBeGreaterThan(aim.halfWidth)
    }
  })

  it('does not exist within narrow bounds', () => {
    expect(planStudy(hand, { parts: 30, inspectors: 3, trials: 3 })).toBeNull()
  })
})

it('is misuse where the aim cannot be', () => {
  expect(() => planStudy({ ...hand, share: 1 })).toThrow(ArgumentError)
  expect(() => planStudy({ ...hand, inspectorShare: 1 })).toThrow(ArgumentError)
  expect(() => planStudy({ ...hand, halfWidth: 0 })).toThrow(ArgumentError)
  expect(() => planStudy(hand, { parts: 1, inspectors: 3, trials: 3 })).toThrow(ArgumentError)
  expect(() => expectedHalfWidth(hand, 10, 1, 2)).toThrow(ArgumentError)
  expect(() => expectedHalfWidth(machine, 10, 1, 1)).toThrow(ArgumentError)
})
