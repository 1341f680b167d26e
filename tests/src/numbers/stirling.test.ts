import { describe, expect, it } from 'vitest'
import { log1pMinus } from '../../../src/numbers/log1p-minus.ts'
import { gammaHalfStepRatio, logGamma, stirlingError } from '../../../src/numbers/stirling.ts'

// Values of mpmath 1.3.0 at 30 digits.
describe('Stirling’s formula and what is built on it', () => {
  it.each([
    [0.001, 6.907178885383854],
    [0.5, 0.5723649429247001],
    [2.5, 0.2846828704729192],
    [9.99, 12.779315214350193],
    [171, 706.5730622457874],
    [1e6, 12815504.569147611],
  ])('ln Γ(%d)', (x, expected) => {
    expect(Math.abs(logGamma(x) - expected)).toBeLessThan(1e-14 * Math.max(1, Math.abs(expected)))
  })
  it('is zero at one and two', () => {
    expect(Math.abs(logGamma(1))).toBeLessThan(1e-15)
    expect(Math.abs(logGamma(2))).toBeLessThan(2e-15)
  })
  it('matches its own recursion across the change of method', () => {
    for (const x of [0.1, 3.3, 9.5, 9.999, 10, 10.5, 40]) {
      const step = (x + 0.5) * Math.log1p(1 / x) - 1
      expect(Math.abs(stirlingError(x) - stirlingError(x + 1) - step)).toBeLessThan(4e-16)
    }
  })
  it('gives Γ(a + ½)/(Γ(a) √a) in closed form', () => {
    expect(Math.abs(gammaHalfStepRatio(1) - Math.sqrt(Math.PI) / 2)).toBeLessThan(1e-15)
    expect(Math.abs(gammaHalfStepRatio(0.5) - Math.sqrt(2 / Math.PI))).toBeLessThan(1e-15)
  })
  it('refuses what has no logarithm of Γ here', () => {
    expect(() => logGamma(0)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'x' }))
    expect(() => logGamma(Number.NaN)).toThrow(expect.objectContaining({ argument: 'x' }))
  })
})

describe('ln(1 + x) − x', () => {
  it('keeps its digits near zero and beyond its series', () => {
    expect(log1pMinus(0)).toBe(0)
    // −x²/2 + x³/3 − x⁴/4 …
    for (const x of [1e-3, -1e-3, 1e-8]) {
      const series = -x * x * (1 / 2 - x / 3 + (x * x) / 4 - x ** 3 / 5 + x ** 4 / 6)
      expect(Math.abs(log1pMinus(x) / series - 1)).toBeLessThan(1e-14)
    }
    for (const x of [-0.9, -0.5, -0.49, 0.7, 1, 1.01, 30]) {
      expect(Math.abs(log1pMinus(x) / (Math.log(1 + x) - x) - 1)).toBeLessThan(1e-14)
    }
  })
})
