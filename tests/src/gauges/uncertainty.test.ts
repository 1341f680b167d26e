import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import {
  fromCertificate,
  fromHalfWidth,
  fromResolution,
  fromScatter,
  measurementUncertainty,
} from '../../../src/gauges/uncertainty.ts'

describe('the end gauge of the Guide (JCGM 100:2008, example H.1, from memory)', () => {
  it('combines to 31.7 nm with 16 effective degrees of freedom', () => {
    // Standard 25 (18), differences 9.7 (25.6), temperature 2.9, expansion 16.6 (2): u = 31.7 nm, effective 16.
    const found = measurementUncertainty(fromScatter('differences', 9.7, 25.6), null, [
      fromScatter('standard', 25, 18),
      fromScatter('expansion', 16.6, 2),
      fromScatter('temperature', 2.9, null),
    ])
    expect(found.standard).toBeCloseTo(31.7, 1)
    expect(Math.floor(found.effectiveDf ?? 0)).toBe(16)
    expect(found.sources[0]?.name).toBe('standard')
    expect(found.sources.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12)
  })
})

describe('sources', () => {
  it('as the Guide takes them (JCGM 100:2008, 4.3.3, 4.3.7, F.2.2.1)', () => {
    expect(fromCertificate('certificate', 0.0024, 2).standard).toBeCloseTo(0.0012, 15)
    expect(fromHalfWidth('temperature', 0.003).standard).toBeCloseTo(0.003 / Math.sqrt(3), 15)
    // 0.29 of a step.
    expect(fromResolution('display', 0.001).standard).toBeCloseTo(0.000288675, 9)
  })

  it('of repeatability and resolution only the greater counts', () => {
    const coarse = measurementUncertainty(
      fromScatter('repeats', 0.0001, 20),
      fromResolution('display', 0.001),
      [],
    )
    expect(coarse.standard).toBeCloseTo(0.001 / Math.sqrt(12), 12)
    expect(coarse.sources.find(({ name }) => name === 'repeats')).toMatchObject({ counted: false, share: 0 })
    expect(coarse.effectiveDf).toBeNull()
    // 95.45 % within two standard deviations of a normal distribution.
    expect(coarse.coverage).toBeCloseTo(0.9545, 4)
    const fine = measurementUncertainty(
      fromScatter('repeats', 0.001, 4),
      fromResolution('display', 0.001),
      [],
    )
    expect(fine.standard).toBe(0.001)
    // Student's t with 4 degrees of freedom: P[|t| < 2] = 0.8838835 (R 4.2.2: 1 - 2 * pt(-2, 4)).
    expect(fine.coverage).toBeCloseTo(0.8838835, 7)
    expect(fine.expanded).toBe(0.002)
  })
})

it('is misuse without a source or with a negative one', () => {
  expect(() => measurementUncertainty(null, null, [])).toThrow(ArgumentError)
  expect(() => fromScatter('repeats', -1, 3)).toThrow(ArgumentError)
  expect(() => fromScatter('repeats', 1, 0)).toThrow(ArgumentError)
  expect(() => fromCertificate('certificate', 1, 0)).toThrow(ArgumentError)
  expect(() => fromResolution('display', Number.NaN)).toThrow(ArgumentError)
})
