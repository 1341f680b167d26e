import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { AGREEMENT_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { type MethodAgreement, methodAgreement } from '../../../src/gauges/method-agreement.ts'
import { normalSource } from '../run-length/simulation.ts'

function agreement(...args: Parameters<typeof methodAgreement>): MethodAgreement {
  const found = methodAgreement(...args)
  if ('reason' in found) throw new Error(found.reason)
  return found
}

describe('peak flow by two meters (Bland and Altman, Lancet 327 (1986), from memory)', () => {
  const found = agreement(AGREEMENT_EXAMPLE, 0.95, 0.95)

  it('has their mean difference and limits, which they take at two standard deviations', () => {
    expect(found.difference.value).toBeCloseTo(-2.1, 1)
    expect(found.difference.value - 2 * found.sd).toBeCloseTo(-79.7, 0)
    expect(found.lowerLimit.value).toBeCloseTo(found.difference.value - 1.959963984540054 * found.sd, 9)
  })

  it('has exact limits that lie near their approximate ones', () => {
    // 1.96 s ± t √(3 s² / n), 2.120 with 16 degrees of freedom; exact ones lie farther out.
    const half = 2.12 * Math.sqrt((3 * found.sd ** 2) / 17)
    expect(Math.abs(found.upperLimit.lower - (found.upperLimit.value - half))).toBeLessThan(0.3 * half)
    expect(Math.abs(found.upperLimit.upper - (found.upperLimit.value + half))).toBeLessThan(0.4 * half)
    expect(found.upperLimit.upper - found.upperLimit.value).toBeGreaterThan(half)
  })

  it('has no trend with size', () => {
    expect(found.trend?.lower).toBeLessThan(0)
    expect(found.trend?.upper).toBeGreaterThan(0)
  })
})

describe('factors of the exact intervals (mpmath 1.3.0, tests/reference/gauges/misjudged.py)', () => {
  const { agreement: rows } = JSON.parse(
    readFileSync(new URL('../../reference/gauges/misjudged.json', import.meta.url), 'utf8'),
  ) as { agreement: { n: number; content: number; confidence: number; factors: [number, number] }[] }
  it.each(rows)('n = $n, $content, $confidence', ({ n, content, confidence, factors }) => {
    const normal = normalSource(n)
    const pairs = Array.from({ length: n }, () => ({ first: normal(), second: 0 }))
    const { upperLimit, difference, sd } = agreement(pairs, content, confidence)
    expect((upperLimit.lower - difference.value) / sd).toBeCloseTo(factors[0], 9)
    expect((upperLimit.upper - difference.value) / sd).toBeCloseTo(factors[1], 9)
  })
})

it('finds a trend where one method reads in proportion', () => {
  const normal = normalSource(86)
  const pairs = Array.from({ length: 30 }, (_, i) => ({
    first: 1.1 * (10 + i) + 0.1 * normal(),
    second: 10 + i,
  }))
  // Difference 0.1 x over mean 1.05 x.
  expect(agreement(pairs, 0.95, 0.95).trend?.value).toBeCloseTo(0.1 / 1.05, 2)
})

it('says why there are no limits', () => {
  expect(methodAgreement([{ first: 1, second: 2 }], 0.95, 0.95)).toEqual({ reason: 'too few pairs' })
  const alike = [1.1, 2.2, 3.3].map((second) => ({ first: second + 0.1, second }))
  expect(methodAgreement(alike, 0.95, 0.95)).toEqual({ reason: 'constant differences' })
  expect(() => methodAgreement([{ first: Number.NaN, second: 1 }], 0.95, 0.95)).toThrow(ArgumentError)
  expect(() => methodAgreement(AGREEMENT_EXAMPLE, 1, 0.95)).toThrow(ArgumentError)
})
