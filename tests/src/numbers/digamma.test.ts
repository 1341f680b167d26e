import { describe, expect, it } from 'vitest'
import { digamma } from '../../../src/numbers/digamma.ts'

describe('ψ', () => {
  it.each([
    // DLMF 5.4.12, 5.4.13 with Euler's constant; the rest mpmath 1.3.0.
    [1, -0.5772156649015329],
    [0.5, -1.9635100260214235],
    [2.5, 0.7031566406452432],
    [9.99, 2.2507003728312012],
    [1e6, 13.815510057964191],
  ])('of %d', (x, expected) => {
    expect(Math.abs(digamma(x) - expected)).toBeLessThan(2e-15 * Math.max(1, Math.abs(expected)))
  })
  it('follows its recurrence across the change of method', () => {
    for (const x of [0.2, 9.3, 9.9999, 10]) expect(digamma(x + 1)).toBeCloseTo(digamma(x) + 1 / x, 14)
  })
  it('refuses zero', () => {
    expect(() => digamma(0)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'x' }))
  })
})
