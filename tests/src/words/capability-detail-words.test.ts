import { describe, expect, it } from 'vitest'
import type { CapabilitySummary } from '../../../src/capability/summary.ts'
import { capabilityDetailWords } from '../../../src/words/capability-detail-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { capabilityFixture } from '../../client/fixtures.ts'

const row = capabilityFixture().rows[0] as CapabilitySummary
const BUILDS = { first: '0400', last: '0459' }
const index = (value: number) => ({ value, lower: value - 0.1, upper: value + 0.1, confidence: 0.95 })
const headline = (patch: Partial<CapabilitySummary>) =>
  plain(capabilityDetailWords(row.characteristic, { ...row, ...patch }, BUILDS).headline)
const grounds = (patch: Partial<CapabilitySummary>) =>
  plain(capabilityDetailWords(row.characteristic, { ...row, ...patch }, BUILDS).grounds)

describe('the sentence about one characteristic', () => {
  it('says whether it holds what is asked, and how sure that is', () => {
    expect(headline({ judged: index(1.5), verdict: 'holds' })).toBe(
      '1 length overall surely holds Ppk 1.33: it is 1.50, 95 % sure to lie between 1.40 and 1.60.',
    )
    expect(headline({ judged: index(1), verdict: 'does not' })).toMatch(
      /^1 length overall surely does not hold/,
    )
    expect(headline({ judged: index(1.33), verdict: 'not yet sure' })).toMatch(
      /^Whether 1 length overall holds Ppk 1\.33 cannot be said yet/,
    )
  })

  it('says what would settle it, or that nothing soon will', () => {
    const open = { verdict: 'not yet sure' as const, n: 100, builds: 10 }
    expect(grounds({ ...open, toSettle: { parts: 342, builds: 35 } })).toContain(
      'About 250 more parts, in 25 more builds, would settle it',
    )
    expect(grounds({ ...open, toSettle: null })).toContain('would not settle it soon')
    expect(grounds({ verdict: 'holds' })).not.toContain('settle')
  })

  it('says why there is no verdict', () => {
    const none = { judged: null, verdict: null }
    const free = { ...row.characteristic, lower: null, upper: null }
    expect(headline({ ...none, characteristic: free })).toContain('no limits to be judged by')
    expect(headline({ ...none, sigmaOverall: null })).toContain('tell no spread')
    expect(headline(none)).toContain('too few')
  })

  it('says so where nothing is measured', () => {
    const { headline: said } = capabilityDetailWords(row.characteristic, null, BUILDS)
    expect(plain(said)).toBe('1 length overall is not measured in these builds.')
    expect(capabilityDetailWords(row.characteristic, null, null).grounds).toEqual([])
  })

  it('says whether it was in control, and how much of the tolerance is used', () => {
    const used = { value: 0.75, lower: 0.7, upper: 0.81, confidence: 0.95 }
    expect(grounds({ stable: true, movedAt: null, toleranceUsed: used })).toMatch(
      /No signal stands in these builds\. 99\.73 % of the parts take up 75 % of the tolerance \(70 % to 81 %\)\.$/,
    )
    expect(grounds({ stable: false, movedAt: '0441' })).toContain('first signal at 0441')
  })
})
