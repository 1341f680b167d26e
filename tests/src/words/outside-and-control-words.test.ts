import { describe, expect, it } from 'vitest'
import type { CapabilitySummary } from '../../../src/capability/summary.ts'
import { capabilityDetailWords } from '../../../src/words/capability-detail-words.ts'
import { capabilityWords } from '../../../src/words/capability-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { capabilityFixture } from '../../client/fixtures.ts'

const rows = capabilityFixture().rows
const span = { first: '0400', last: '0459', parts: 876 }
const said = (of: readonly CapabilitySummary[]) => plain(capabilityWords(of, span).grounds)

/** The row with a least and a greatest value at so many half widths of the tolerance from its middle. */
function reaching(row: CapabilitySummary, least: number, greatest: number): CapabilitySummary {
  const [lower, upper] = [row.characteristic.lower as number, row.characteristic.upper as number]
  const at = (share: number) => (lower + upper) / 2 + (share * (upper - lower)) / 2
  return { ...row, min: at(least), max: at(greatest) }
}

describe('what was measured outside its limits', () => {
  const inside = rows.map((row) => reaching(row, -0.9, 0.9))
  const beyond = (count: number) => inside.map((row, i) => (i < count ? reaching(row, -0.5, 1.01) : row))

  it('is named, even where every index holds', () => {
    expect(said(inside)).not.toContain('outside')
    const [first] = rows as [CapabilitySummary]
    const title = `${first.characteristic.designator} ${first.characteristic.name}`
    expect(said(beyond(1))).toContain(`Measured outside the limits: values of ${title}. `)
    expect(said(beyond(4))).toContain('Measured outside the limits: values of four characteristics. ')
  })

  it('is what lies beyond a limit, not on it, on either side', () => {
    const [row] = rows as [CapabilitySummary]
    const { lower, upper } = row.characteristic
    const exactly = { ...row, min: lower as number, max: upper as number }
    expect(said([exactly])).not.toContain('outside')
    expect(said([{ ...exactly, min: (lower as number) - 1e-9 }])).toContain('outside the limits')
    expect(
      said([{ ...exactly, characteristic: { ...row.characteristic, lower: null, upper: null } }]),
    ).not.toContain('outside')
  })

  it('is said on the page of the characteristic, with how far the values go', () => {
    const [row] = rows as [CapabilitySummary]
    const { characteristic } = row
    const summary = {
      ...row,
      characteristic: { ...characteristic, lower: 41.9, upper: 42.1, nominal: 42 },
      min: 41.95,
      max: 42.125,
    }
    const { grounds } = capabilityDetailWords(summary.characteristic, summary, span)
    expect(plain(grounds)).toContain('Not all of them lie inside the limits: they go from 41.950 to 42.125. ')
    expect(
      plain(capabilityDetailWords(summary.characteristic, { ...summary, max: 42.1 }, span).grounds),
    ).not.toContain('Not all of them')
  })
})

describe('what was not in control', () => {
  const wordsOf = (unstable: number, all: number) =>
    said(rows.slice(0, all).map((row, i) => ({ ...row, stable: i >= unstable })))

  it('is counted, and its figures are called performance', () => {
    expect(wordsOf(0, 3)).not.toContain('in control')
    expect(wordsOf(1, 3)).toContain(
      'One was not in control within these builds, so that its figure states performance',
    )
    expect(wordsOf(2, 3)).toContain(
      'Two were not in control within these builds, so that their figures state',
    )
    expect(wordsOf(3, 3)).toContain('None was in control within these builds, so that their figures state')
    expect(wordsOf(1, 1)).toContain('It was not in control within these builds, so that its figure states')
  })
})
