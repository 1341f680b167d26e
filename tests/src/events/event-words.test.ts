import { describe, expect, it } from 'vitest'
import { generateShop } from '../../../sample-data/generate-shop.ts'
import { DEMONSTRATION_SEED } from '../../../sample-data/seed.ts'
import { detectEvents, type EventsInput } from '../../../src/events/detect-events.ts'
import { eventWords } from '../../../src/events/event-words.ts'
import { rankConditions } from '../../../src/events/rank-conditions.ts'
import { plain } from '../../../src/words/sentence.ts'
import { recordsOf, type ShopRecord } from './shop.ts'
import { type Shift, synthetic } from './synthetic.ts'

function wordsOf(input: EventsInput) {
  return detectEvents(input).events.map((event) =>
    eventWords({
      event,
      ranked: rankConditions(event, input.builds),
      characteristics: input.charted.map(({ characteristic }) => characteristic),
      builds: input.builds.map(({ build }) => build),
    }),
  )
}

describe('the demonstration shop in words', () => {
  const [bracket] = recordsOf(generateShop(DEMONSTRATION_SEED)) as [ShopRecord]
  const words = wordsOf(bracket)

  it('one sentence an event', () => {
    expect(words.map(({ sentence }) => plain(sentence))).toEqual([
      'Since build 0430 everything along Y comes out small, by 0.13 % ± 0.03.',
      expect.stringMatching(
        /^Since build 043\d everything along X from furnace F2 comes out smaller and smaller, by 0\.\d\d % ± 0\.\d\d at build 0459\.$/,
      ),
      'In build 0437 everything scattered 2.1 times as much inside a build as in the baseline.',
      'Since build 0441 everything along Z comes out small, by 0.12 % ± 0.02.',
      // The median of the others is 5.1975, halfway between two values as they are written: away from zero.
      'In build 0449 one value of 7 slot width lies far below the others: 5.129 among 5.198.',
    ])
  })

  it('what changed there, and how sure that is', () => {
    const grounds = words.map((item) => plain(item.grounds))
    expect(grounds[0]).toMatch(
      /^What changed there: scale factor Y 1\.1902 → 1\.1887 accounts for most of it\. .*by itself makes −0\.126 %\.$/,
    )
    expect(grounds[1]).toMatch(/^Parts of furnace F2 show it, the others do not\. It began between 04/)
    expect(grounds[2]).toBe('Nothing recorded changed there.')
    expect(grounds[3]).toMatch(/^What changed there: powder lot K7 → K8 accounts for most of it\./)
    expect(grounds[4]).toMatch(/^With two digits exchanged it would read 5\.192/)
  })

  it('the side has its role', () => {
    const roles = words.map(({ sentence }) =>
      sentence.flatMap(({ role, text }) => (role ? [[role, text]] : [])),
    )
    expect(roles[0]).toEqual([['under', 'small']])
    expect(roles[1]).toEqual([['under', 'smaller and smaller']])
    expect(roles[2]).toEqual([['mark', '2.1 times']])
    expect(roles[4]).toEqual([['under', 'below']])
  })
})

describe('other events', () => {
  const first = (shift: Shift, seed = 61) => {
    const [words] = wordsOf(synthetic({ seed, shift }))
    if (words === undefined) throw new Error('no event')
    return { sentence: plain(words.sentence), grounds: plain(words.grounds), roles: words.sentence }
  }

  it('one characteristic is named, in its unit', () => {
    const { sentence } = first((_, build, c) => (c === 2 && build >= 35 ? 5 : 0))
    expect(sentence).toMatch(/^Since build 13\d 3 length comes out large, by 0\.\d{4} ± 0\.\d{4} mm\.$/)
  })

  it('everything is everything', () => {
    const { sentence, roles } = first((_, build) => (build >= 40 ? 3 : 0))
    expect(sentence).toMatch(/^Since build 1(39|4[01]) everything comes out large, by 0\.\d+ % ± 0\.\d+\.$/)
    expect(roles.find(({ role }) => role === 'over')?.text).toBe('large')
  })

  it('what ended is told in the past, with its last build', () => {
    const { sentence, grounds } = first((axis, build) => (axis === 'Z' && build >= 30 && build < 42 ? -4 : 0))
    expect(sentence).toMatch(/^From build 1\d\d to 14\d everything along Z came out small, by/)
    expect(grounds).toMatch(/It ended with build 14\d\./)
  })

  it('a build by itself is named by itself', () => {
    const { sentence } = first((axis, build) => (axis === 'X' && build === 44 ? -9 : 0))
    expect(sentence).toMatch(/^In build 144 everything along X came out small, by 0\.\d+ % ± 0\.\d+\.$/)
  })

  it('an innocent record says that nothing recorded changed', () => {
    const { grounds } = first((axis, build) => (axis === 'Z' && build >= 35 ? -4 : 0))
    expect(grounds).toMatch(/^Nothing recorded changed there\./)
  })

  // Percent is of a nominal: without one there is none to tell, and each size is told in its own unit.
  it('characteristics without a nominal are told each in its unit', () => {
    const record = synthetic({ seed: 61, axes: [null, null], shift: (_, build) => (build >= 40 ? 5 : 0) })
    const charted = record.charted.map(({ characteristic, chart }) => ({
      characteristic: { ...characteristic, nominal: null },
      chart,
    }))
    const [words] = wordsOf({ ...record, charted })
    const told = plain((words as NonNullable<typeof words>).sentence)
    const found =
      /^Since build 1\d\d everything moved: 1 bore large by (0\.\d{4}) ± 0\.\d{4} mm, 2 bore large by (0\.\d{4}) ± 0\.\d{4} mm\.$/.exec(
        told,
      )
    if (found === null) throw new Error(told)
    // Change of the mean of the builds, computed from the points themselves.
    const from = Number(/build 1(\d\d)/.exec(told)?.[1])
    for (const [c, { chart }] of charted.entries()) {
      const mean = (values: readonly number[]) => values.reduce((sum, each) => sum + each, 0) / values.length
      const means = chart.location.values.map(Number)
      expect(
        Math.abs(Number(found[c + 1]) - (mean(means.slice(from)) - mean(means.slice(0, from)))),
      ).toBeLessThan(0.0005)
    }
  })

  it('what moved in opposite directions is told apart', () => {
    const { sentence } = first((_, build, c) => (build < 40 || c > 1 ? 0 : c === 0 ? 12 : -12))
    expect(sentence).toMatch(
      /^Since build 140 everything along X moved: 1 length large by 0\.\d{4} ± 0\.\d{4} mm, 2 length small by 0\.\d{4} ± 0\.\d{4} mm\.$/,
    )
  })
})
