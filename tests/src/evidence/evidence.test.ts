import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { check, limited } from '../../../src/evidence/check.ts'
import { UNIVARIATE } from '../../../src/evidence/data/univariate.ts'
import { VARIANCE } from '../../../src/evidence/data/variance.ts'
import { CHECKS, evidence } from '../../../src/evidence/evidence.ts'
import { anovaSet, univariateSet } from '../description/nist-strd.ts'

describe('the published figures', () => {
  const findings = evidence()

  it.each(findings.map((finding) => [finding.id, finding] as const))('%s', (_, finding) => {
    expect(finding.digits).toBeGreaterThanOrEqual(finding.expectedDigits)
    expect(finding.agrees).toBe(true)
  })

  it('agree in every published digit unless a limit is stated, and limits are no lower than they must be', () => {
    for (const { id, limit, complete, digits } of findings) {
      if (limit === null) expect(complete, id).toBe(true)
      else expect(digits - limit.digits, id).toBeLessThan(4)
    }
  })

  it('are each named once and say where they were published', () => {
    expect(new Set(CHECKS.map(({ id }) => id)).size).toBe(CHECKS.length)
    expect(CHECKS.length).toBeGreaterThan(250)
    for (const { source } of CHECKS) expect(source.length).toBeGreaterThan(10)
  })
})

describe('a figure that does not agree', () => {
  it('is told apart, and from one that agrees as far as its limit', () => {
    const off = check('Test', 'off', 'nowhere', '1.000', () => 1.002)
    expect(evidence([off])[0]).toMatchObject({ agrees: false, complete: false, expectedDigits: 4 })
    expect(evidence([limited(off, 2, 'because')])[0]).toMatchObject({ agrees: true, complete: false })
    expect(evidence([limited(off, 3, 'because')])[0]?.agrees).toBe(false)
  })
})

describe('the data', () => {
  it.each(UNIVARIATE.map((set) => [set.name, set] as const))('of %s are those of its file', (name, set) => {
    const file = univariateSet(name)
    expect(set.values).toEqual(file.values)
    expect([set.mean, set.sd, set.lag1].map(Number)).toEqual([file.mean, file.sd, file.lag1])
  })

  it.each(VARIANCE.map((set) => [set.name, set] as const))('of %s are those of its file', (name, set) => {
    const file = anovaSet(name)
    expect(set.groups).toEqual(file.groups)
    expect(Number(set.f)).toBe(file.f)
  })

  it('share no more digits than exact arithmetic allows, as the limits say', () => {
    // tests/reference/evidence/nearest-doubles.py, Python 3.11.7 fractions and mpmath 1.3.0.
    const rows = readFileSync(
      new URL('../../reference/evidence/nearest-doubles.csv', import.meta.url),
      'utf8',
    )
      .trim()
      .split('\n')
      .slice(2)
      .map((line) => line.split(',') as [string, string, string])
    expect(rows).toHaveLength(29)
    const words: Record<string, string> = {
      mean: 'mean',
      sd: 'standard deviation',
      'lag-1': 'lag-1 autocorrelation',
      F: 'F',
    }
    for (const [set, statistic, digits] of rows) {
      const found = CHECKS.find(({ what }) => what === `${set}: ${words[statistic]}`)
      expect(found, `${set} ${statistic}`).toBeDefined()
      // Certified figures are themselves rounded to fifteen digits: from 14.5 on nothing but that is seen.
      if (digits !== 'exact' && Number(digits) < 14.5) {
        expect(found?.limit?.digits, `${set} ${statistic}`).toBeLessThanOrEqual(Number(digits))
        expect(found?.limit?.why).toContain(`${Number(digits)} digits`)
      }
    }
  })
})
