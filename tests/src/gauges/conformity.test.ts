import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { conformity } from '../../../src/gauges/conformity.ts'

describe('the decision rules of ISO 14253-1', () => {
  const limits = { lower: 25.3, upper: 25.5 }
  it.each([
    [25.305, 'conforming'],
    [25.3049, 'inside the uncertainty'],
    [25.3, 'inside the uncertainty'],
    [25.295, 'inside the uncertainty'],
    [25.2949, 'not conforming'],
    [25.495, 'conforming'],
    [25.4951, 'inside the uncertainty'],
    [25.5051, 'not conforming'],
  ] as const)('limits 25.3 and 25.5, U = 0.005: %f is %s', (value, decision) =>
    expect(conformity(value, limits, 0.005).decision).toBe(decision),
  )

  it('without uncertainty a value exactly on a limit conforms', () => {
    expect(conformity(25.5, limits, 0)).toMatchObject({ decision: 'conforming', probability: 1 })
    expect(conformity(25.5001, limits, 0)).toMatchObject({ decision: 'not conforming', probability: 0 })
  })

  it('one limit is enough', () => {
    expect(conformity(0.04, { lower: null, upper: 0.05 }, 0.004)).toMatchObject({
      decision: 'conforming',
      acceptance: { lower: null, upper: 0.046 },
    })
    expect(conformity(0.04, { lower: 0.05, upper: null }, 0.004).decision).toBe('not conforming')
  })

  it('an uncertainty of half the tolerance leaves one value, a greater one none', () => {
    expect(conformity(25.4, limits, 0.1).decision).toBe('conforming')
    expect(conformity(25.4, limits, 0.11)).toMatchObject({
      decision: 'inside the uncertainty',
      acceptance: null,
    })
  })

  it('another guard band may be agreed', () => {
    expect(conformity(25.3045, limits, 0.005, 0.004).decision).toBe('conforming')
  })
})

describe('the probability that the part conforms', () => {
  // Normal tails, e.g. ASTM or any table: P[Z < 1] = 0.841345, P[Z < −3] = 0.001350, P[Z > 6] = 9.8659e-10.
  it.each([
    [25.305, 0.97725],
    [25.3, 0.5],
    [25.2925, 0.00135],
  ])('%f: %f', (value, p) =>
    expect(conformity(value, { lower: 25.3, upper: 25.5 }, 0.005).probability).toBeCloseTo(p, 5),
  )
  it('keeps its digits far outside', () => {
    const { probability } = conformity(-6, { lower: 0, upper: 100 }, 2)
    expect(probability / 9.865876450376946e-10).toBeCloseTo(1, 9)
    expect(conformity(106, { lower: 0, upper: 100 }, 2).probability).toBeCloseTo(probability, 20)
  })
})

it('no value is both proved to conform and proved not to, and what conforms is likely to', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -2, max: 2, noNaN: true }),
      fc.double({ min: 0.001, max: 0.5, noNaN: true }),
      (value, u) => {
        const { decision, probability } = conformity(value, { lower: -1, upper: 1 }, u)
        if (decision === 'conforming') expect(probability).toBeGreaterThan(0.95)
        if (decision === 'not conforming') expect(probability).toBeLessThan(0.0228)
      },
    ),
  )
})

it('is misuse without limits, or with a negative uncertainty', () => {
  expect(() => conformity(1, { lower: null, upper: null }, 0.1)).toThrow(ArgumentError)
  expect(() => conformity(1, { lower: 0, upper: 2 }, -0.1)).toThrow(ArgumentError)
  expect(() => conformity(Number.NaN, { lower: 0, upper: 2 }, 0.1)).toThrow(ArgumentError)
})
