import { describe, expect, it } from 'vitest'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { detectEvents } from '../../../src/events/detect-events.ts'
import { runLengthOfTests } from '../../../src/run-length/tests-run-length.ts'
import { type QuietRecord, quietWords } from '../../../src/words/opening-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { shopRecords } from '../events/shop.ts'
import { synthetic } from '../events/synthetic.ts'

function recordOf(builds: number, seed = 61): QuietRecord {
  const input = synthetic({ seed, builds })
  return {
    charted: input.charted,
    answered: [],
    bare: detectEvents(input).bare,
    builds: input.builds.map(({ build }) => build),
    expectedByChance: 2.4,
  }
}
const headline = (record: QuietRecord) => plain(quietWords(record).headline)
const grounds = (record: QuietRecord) => plain(quietWords(record).grounds)

describe('what a page opens with where no event stands', () => {
  it('nothing is measured', () => {
    expect(headline({ ...recordOf(3), charted: [], bare: [] })).toBe('Nothing is measured yet.')
  })

  // A shift of one standard deviation is seen after 9.2 builds on average: Champ and Woodall, Exact results for Shewhart
  // control charts with supplementary runs rules, Technometrics 29 (1987), table 1, tests 1 to 4 (from memory).
  it('too few builds to tell are no proof that nothing moved', () => {
    expect(runLengthOfTests(WESTERN_ELECTRIC, 1)).toBeCloseTo(9.22, 2)
    for (const [builds, words] of [
      [1, 'One build is on record; whether it moved cannot be told yet.'],
      [3, 'Three builds are on record; whether anything moved cannot be told yet.'],
      [9, 'Nine builds are on record; whether anything moved cannot be told yet.'],
      [10, 'Nothing has moved in the last five builds.'],
    ] as const) {
      expect(headline({ ...recordOf(builds), bare: [] })).toBe(words)
    }
    expect(grounds({ ...recordOf(3), bare: [] })).toContain('shows after 9 builds on average')
    expect(grounds({ ...recordOf(30), bare: [] })).toContain('would have shown after 9 builds on average')
  })

  it('values that do not scatter have no limits, and tell nothing', () => {
    const record = recordOf(30)
    const charted = record.charted.map(({ characteristic, chart }) => ({
      characteristic,
      chart: {
        ...chart,
        signals: [],
        location: {
          ...chart.location,
          upper: chart.location.upper.map(() => null),
          lower: chart.location.lower.map(() => null),
        },
      },
    }))
    expect(headline({ ...record, charted, bare: [] })).toBe(
      '30 builds are on record; whether anything moved cannot be told yet.',
    )
    expect(grounds({ ...record, charted, bare: [] })).toContain('a gauge that reads finer')
  })

  it('a signal of the latest builds is named, with how many chance alone gives, and no size', () => {
    const record = recordOf(40)
    const characteristic = record.charted[1]?.characteristic
    if (characteristic === undefined) throw new Error('no characteristic')
    const signal = { panel: 'location', test: 'four-of-five', side: 'below' } as const
    const old = { characteristic, signal: { ...signal, points: [1, 2, 3, 4] } }
    const bare = [old, { characteristic, signal: { ...signal, points: [34, 35, 36, 37] } }]
    expect(headline({ ...record, bare })).toBe(
      'Nothing has moved beyond chance; 2 length signalled from build 134 to 137: four of five beyond one sigma, below.',
    )
    expect(grounds({ ...record, bare })).toBe(
      'Where nothing changes, all charts together give about 2.4 such signals in 40 builds.',
    )
    expect(headline({ ...record, bare: [old] })).toBe('Nothing has moved in the last five builds.')
  })

  it('what findings answer is said aside', () => {
    const answered = [{ answer: 7, members: [{ designator: '3', name: 'height' }] }]
    const record = { ...recordOf(40), bare: [], answered }
    expect(headline(record)).toBe('Nothing has moved that a finding does not answer.')
    expect(grounds(record)).toContain('Moved and answered by finding 7: 3 height.')
  })
})

describe('twenty shops where nothing happened', () => {
  const records = Array.from({ length: 20 }, (_, i) =>
    shopRecords(1000 + i, { leaveOut: PLANTED_IDS }),
  ).flat()

  it('open with no change of a size, though their charts do signal', () => {
    let signalling = 0
    for (const record of records) {
      const { events, bare } = detectEvents(record)
      expect(events).toEqual([])
      const words = quietWords({
        charted: record.charted,
        answered: [],
        bare,
        builds: record.builds.map(({ build }) => build),
        expectedByChance: 7,
      })
      expect(plain(words.headline)).toMatch(/^Nothing has moved (beyond chance; |in the last five builds\.$)/)
      if (bare.length > 0) signalling++
    }
    expect(signalling).toBeGreaterThan(30)
  })
})
