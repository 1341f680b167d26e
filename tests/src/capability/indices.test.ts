import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nearerIndex, spreadIndex } from '../../../src/capability/indices.ts'
import { ArgumentError } from '../../../src/errors.ts'

describe('NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, sigma 2', () => {
  const limits = { lower: 8, upper: 20 }

  it('gives Cp 1.0 and Cpk 0.6667', () => {
    expect(spreadIndex(limits, 2)).toBe(1)
    expect(nearerIndex(limits, 16, 2)).toBeCloseTo(2 / 3, 15)
  })
})

describe('where limits are missing', () => {
  it('one limit gives its own index and no index of spread', () => {
    expect(spreadIndex({ lower: null, upper: 20 }, 2)).toBeNull()
    expect(nearerIndex({ lower: null, upper: 20 }, 16, 2)).toBeCloseTo(2 / 3, 15)
    expect(nearerIndex({ lower: 8, upper: null }, 16, 2)).toBeCloseTo(4 / 3, 15)
  })

  it('no limit gives nothing', () => {
    expect(nearerIndex({ lower: null, upper: null }, 16, 2)).toBeNull()
  })
})

describe('what has no index', () => {
  it('is named: no spread, a sigma that is no number, crossed limits', () => {
    expect(() => spreadIndex({ lower: 8, upper: 20 }, 0)).toThrow(ArgumentError)
    expect(() => nearerIndex({ lower: 8, upper: 20 }, 16, Number.NaN)).toThrow(/sigma/)
    expect(() => spreadIndex({ lower: 20, upper: 8 }, 2)).toThrow(/lower limit 20 is above/)
  })
})

describe('properties', () => {
  const number = fc.double({ min: -50, max: 50, noNaN: true })

  it('the nearer index never exceeds the index of spread, and equals it at the middle', () => {
    fc.assert(
      fc.property(number, fc.double({ min: 0.1, max: 10, noNaN: true }), (mean, sigma) => {
        const limits = { lower: -5, upper: 7 }
        const cp = spreadIndex(limits, sigma) as number
        expect(nearerIndex(limits, mean, sigma) as number).toBeLessThanOrEqual(cp + 1e-12)
        expect(nearerIndex(limits, 1, sigma)).toBeCloseTo(cp, 12)
      }),
    )
  })
})
