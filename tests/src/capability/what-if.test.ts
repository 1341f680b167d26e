import { describe, expect, it } from 'vitest'
import { nearerIndexInterval, spreadIndexInterval } from '../../../src/capability/confidence.ts'
import { type Supposition, whatIf } from '../../../src/capability/what-if.ts'
import { normalUpper } from '../../../src/distributions/normal.ts'
import { ArgumentError } from '../../../src/errors.ts'

/** 9.9 to 10.1, mean 10.04, sigma 0.025 overall and 0.02 inside builds: everything below is worked by hand. */
const LIMITS = { lower: 9.9, upper: 10.1 }
const SAMPLE = { n: 150, mean: 10.04, sigma: 0.025, nEffective: 60, df: 70 }
const WITHIN = { sigma: 0.02, df: 120 }
const TODAY: Supposition = { centred: false, buildsAlike: false, limits: null }

const suppose = (supposition: Partial<Supposition>) =>
  whatIf(LIMITS, SAMPLE, WITHIN, { ...TODAY, ...supposition }, 0.95)

describe('what if', () => {
  it('nothing were changed: today’s figures', () => {
    const today = suppose({})
    // 0.2 / 0.15 and 0.06 / 0.075.
    expect(today?.spread?.value).toBeCloseTo(4 / 3, 12)
    expect(today?.nearer?.value).toBeCloseTo(0.8, 12)
    expect(today?.toleranceUsed?.value).toBeCloseTo(0.75, 12)
    // 2.4 sigma from the upper limit, 5.6 from the lower.
    expect(today?.outside.above?.value).toBeCloseTo(normalUpper(2.4), 14)
    expect(today?.outside.total?.value).toBeCloseTo(normalUpper(2.4) + normalUpper(5.6), 14)
    expect(today?.nearer).toEqual(nearerIndexInterval(today?.nearer?.value as number, 60, 70, 0.95))
  })

  it('it were centred: Ppk is Pp', () => {
    const centred = suppose({ centred: true })
    expect(centred?.mean).toBe(10)
    expect(centred?.nearer?.value).toBeCloseTo(4 / 3, 12)
    expect(centred?.outside.total?.value).toBeCloseTo(2 * normalUpper(4), 16)
  })

  it('builds were alike: sigma inside builds, and all values independent', () => {
    const alike = suppose({ buildsAlike: true })
    // 0.2 / 0.12 and 0.06 / 0.06.
    expect(alike?.spread).toEqual(spreadIndexInterval(alike?.spread?.value as number, 120, 0.95))
    expect(alike?.spread?.value).toBeCloseTo(5 / 3, 12)
    expect(alike?.nearer?.value).toBeCloseTo(1, 12)
    expect(alike?.nearer).toEqual(nearerIndexInterval(alike?.nearer?.value as number, 150, 120, 0.95))
  })

  it('the tolerance were another', () => {
    // 0.3 / 0.15 and 0.11 / 0.075.
    const wider = suppose({ limits: { lower: 9.85, upper: 10.15 } })
    expect(wider?.spread?.value).toBeCloseTo(2, 12)
    expect(wider?.nearer?.value).toBeCloseTo(22 / 15, 12)
    const onesided = suppose({ limits: { lower: null, upper: 10.1 } })
    expect(onesided?.spread).toBeNull()
    expect(onesided?.outside.below).toBeNull()
    expect(onesided?.nearer?.value).toBeCloseTo(0.8, 12)
  })

  it('several of these held at once', () => {
    const all = suppose({ centred: true, buildsAlike: true, limits: { lower: 9.88, upper: 10.14 } })
    // The middle is 10.01; 0.13 / 0.06.
    expect(all?.mean).toBeCloseTo(10.01, 12)
    expect(all?.nearer?.value).toBeCloseTo(13 / 6, 12)
  })

  it('cannot be told without what it needs', () => {
    expect(suppose({ centred: true, limits: { lower: null, upper: 10.1 } })).toBeNull()
    expect(whatIf(LIMITS, SAMPLE, null, { ...TODAY, buildsAlike: true }, 0.95)).toBeNull()
    expect(() => suppose({ limits: { lower: 11, upper: 10 } })).toThrow(ArgumentError)
  })
})
