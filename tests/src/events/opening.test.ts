import { describe, expect, it } from 'vitest'
import { forecastWords } from '../../../src/events/forecast-words.ts'
import { type Openable, openingEvent } from '../../../src/events/opening.ts'
import { plain } from '../../../src/words/sentence.ts'

const event = (change: Partial<Openable>): Openable => ({
  standing: true,
  answer: null,
  from: 10,
  to: 59,
  members: [1, 2],
  ...change,
})

describe('the event that the page opens with', () => {
  it('is the latest that stands and concerns several characteristics', () => {
    expect(
      openingEvent([event({ from: 30 }), event({ from: 41 }), event({ from: 50, members: [1] })], 60),
    ).toBe(1)
  })

  it('is never one that a finding answers', () => {
    expect(openingEvent([event({ answer: 3 }), event({ from: 5 })], 60)).toBe(1)
    expect(openingEvent([event({ answer: 3 })], 60)).toBeNull()
  })

  it('may have ended, if only in the latest builds, but stands behind what goes on', () => {
    const ended = event({ standing: false, from: 57, to: 57 })
    expect(openingEvent([ended], 60)).toBe(0)
    expect(openingEvent([event({ standing: false, to: 40 })], 60)).toBeNull()
    expect(openingEvent([ended, event({ members: [1] })], 60)).toBe(1)
  })
})

describe('the words of a forecast', () => {
  const characteristic = { designator: '4', name: 'boss spacing' }
  const ahead = { side: 'lower' as const, inBuilds: 13.6, earliest: 9.2, latest: 30.1, reached: false }

  it('count builds from the last one, the interval outwards to whole builds', () => {
    expect(plain(forecastWords(characteristic, ahead))).toBe(
      'Should it go on, the mean of 4 boss spacing reaches its lower limit of specification in about fourteen builds (9 to 31, 95 %).',
    )
    expect(plain(forecastWords(characteristic, { ...ahead, latest: null }))).toMatch(/9 to no end in sight/)
  })

  it('say that the limit is reached, and nothing where nothing is in sight', () => {
    expect(plain(forecastWords(characteristic, { ...ahead, reached: true }))).toMatch(
      /beyond its lower limit/,
    )
    expect(forecastWords(characteristic, { ...ahead, inBuilds: null })).toEqual([])
  })
})
