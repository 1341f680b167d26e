import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { ConformityDecision } from '../../../src/gauges/conformity.ts'
import { buildPartsHeadline, partHeadline, strictest } from '../../../src/words/part-words.ts'
import { plain } from '../../../src/words/sentence.ts'

const judged = (...decisions: ConformityDecision[]) =>
  decisions.map((decision, i) => ({ designator: String(i + 1), name: `size ${i + 1}`, decision }))
const say = (...decisions: ConformityDecision[]) =>
  plain(partHeadline('S-7', judged(...decisions), decisions.length))

describe('the sentence about a part', () => {
  it.each([
    [[], 'Part S-7 has no value on record that the drawing limits.'],
    [['conforming'], 'Part S-7 conforms in the one characteristic measured.'],
    [['conforming', 'conforming'], 'Part S-7 conforms in all two characteristics measured.'],
    [
      ['conforming', 'inside the uncertainty'],
      'Part S-7 is not proved to conform in 2 size 2, which lies too near a limit for its gauge.',
    ],
    [
      ['inside the uncertainty', 'inside the uncertainty'],
      'Part S-7 is not proved to conform in 1 size 1 and 2 size 2, which lie too near a limit for their gauges.',
    ],
    [
      ['not conforming', 'conforming', 'inside the uncertainty'],
      'Part S-7 does not conform in 1 size 1, and measuring leaves 3 size 3 open.',
    ],
    [
      ['not conforming', 'not conforming', 'not conforming', 'not conforming'],
      'Part S-7 does not conform in four characteristics.',
    ],
  ] as const)('of %j', (decisions, sentence) => expect(say(...decisions)).toBe(sentence))

  it('says so where less was measured than the drawing limits', () =>
    expect(plain(partHeadline('S-7', judged('conforming', 'conforming'), 5))).toBe(
      'Part S-7 conforms in all two characteristics measured, of five that the drawing limits.',
    ))

  it('never says that a part conforms while one value does not prove it', () => {
    const decision = fc.constantFrom<ConformityDecision>(
      'conforming',
      'not conforming',
      'inside the uncertainty',
    )
    fc.assert(
      fc.property(fc.array(decision, { minLength: 1, maxLength: 12 }), (decisions) => {
        const conforms = / S-7 conforms /.test(say(...decisions))
        expect(conforms).toBe(decisions.every((each) => each === 'conforming'))
      }),
    )
  })

  it('takes of two decisions the one that tells against the part', () => {
    expect(strictest('conforming', 'inside the uncertainty')).toBe('inside the uncertainty')
    expect(strictest('not conforming', 'inside the uncertainty')).toBe('not conforming')
    expect(strictest('conforming', 'conforming')).toBe('conforming')
  })
})

describe('the sentence about the parts of a build', () => {
  const of = (...decisions: (ConformityDecision | null)[]) =>
    plain(
      buildPartsHeadline(
        '0449',
        decisions.map((decision, i) => ({ serial: String(i), decision })),
      ),
    )
  it.each([
    [[null, null], 'Build 0449 has two parts, and no value of them that the drawing limits.'],
    [['conforming'], 'The one part judged of build 0449 conforms.'],
    [
      ['conforming', 'conforming', null],
      'All two parts judged of build 0449 conform. Of one nothing is on record that the drawing limits.',
    ],
    [
      ['conforming', 'conforming', 'not conforming'],
      'Of three parts judged of build 0449 two conform, one does not.',
    ],
    [
      ['conforming', 'inside the uncertainty', 'not conforming', 'not conforming'],
      'Of four parts judged of build 0449 one conforms, two do not and one is not proved to.',
    ],
    [
      ['inside the uncertainty', 'inside the uncertainty'],
      'Of two parts judged of build 0449 none conforms, two are not proved to.',
    ],
  ] as const)('of %j', (decisions, sentence) => expect(of(...decisions)).toBe(sentence))
})
