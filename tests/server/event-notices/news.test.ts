import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { EventView, PartNumber, TimelineBuild } from '../../../server/contract/views.ts'
import { type SeriesLook, seriesNews } from '../../../server/event-notices/news.ts'
import type { KnownEvent } from '../../../server/store/event-notice-reads.ts'
import type { SeriesNews } from '../../../server/store/event-notice-writes.ts'

/** What is news of one series, whatever its events: the rules that a notice goes by, without a database or a clock. */

const BUILDS = 40
const partNumber: PartNumber = { id: 1, number: 'HB-204', revision: 'C', name: null }
const builds = Array.from(
  { length: BUILDS },
  (_, i) => ({ id: 100 + i, name: `B${i}` }) as Partial<TimelineBuild> as TimelineBuild,
)

interface Drawn {
  readonly designators: readonly string[]
  readonly from: number
  readonly width: number
  readonly standing: boolean
  readonly scatter: boolean
  readonly answer: number | null
}

const estimate = { value: 1, lower: 0.5, upper: 1.5 }

function eventOf({ designators, from, width, standing, scatter, answer }: Drawn): EventView {
  return {
    kind: scatter ? 'spread' : 'level',
    sentence: [{ text: `moved at ${from}` }],
    grounds: [{ text: '' }],
    from,
    plausible: [from],
    to: standing ? BUILDS - 1 : Math.min(BUILDS - 1, from + width),
    standing,
    members: designators.map((designator) => ({
      designator,
      name: designator,
      unit: 'mm',
      shift: scatter ? null : estimate,
      percent: null,
      scatter: scatter ? estimate : null,
      signals: 1,
    })),
    conditions: [],
    confinedTo: null,
    answer,
    forecast: null,
  }
}

const drawn = fc.record({
  designators: fc.subarray(['1', '2', '3', '4'], { minLength: 1 }),
  from: fc.nat(BUILDS - 1),
  width: fc.nat(12),
  standing: fc.boolean(),
  scatter: fc.boolean(),
  answer: fc.option(fc.constant(7), { freq: 4 }),
})
const events = fc.array(drawn, { maxLength: 5 }).map((all) => all.map(eventOf))

const look = (patch: Partial<SeriesLook>): SeriesLook => ({
  ...{ partNumber, stage: 'sintered', builds, events: [], watched: true, known: [], basis: 0 },
  ...patch,
})

/** What the store holds after the news is written. */
function written(known: readonly KnownEvent[], news: SeriesNews | null): KnownEvent[] {
  if (news === null) return [...known]
  const changed = new Map(news.changed.map((event) => [event.id, event]))
  const next = 1 + known.reduce((most, { id }) => Math.max(most, id), 0)
  return [
    ...known.map((event) => changed.get(event.id) ?? event),
    ...news.found.map(({ event }, i) => ({ ...event, id: next + i })),
  ]
}

const notices = (news: SeriesNews | null) => news?.found.flatMap(({ notice }) => notice ?? []) ?? []

describe('news of a series', () => {
  it('is none at the first look, which learns what there is', () => {
    fc.assert(
      fc.property(events, (seen) => {
        const news = seriesNews(look({ events: seen, watched: false }))
        expect(news?.opens).toBe(true)
        expect(news?.found).toHaveLength(seen.length)
        expect(notices(news)).toEqual([])
      }),
    )
  })

  it('is told once: the same look again writes nothing', () => {
    fc.assert(
      fc.property(events, events, fc.nat(3), (first, second, basis) => {
        const learnt = written([], seriesNews(look({ events: first, watched: false })))
        const known = written(learnt, seriesNews(look({ events: second, known: learnt, basis })))
        expect(seriesNews(look({ events: second, known, basis }))).toBeNull()
      }),
    )
  })

  it('is told of no event that is answered, or that ended long ago, and of every other that is new', () => {
    fc.assert(
      fc.property(events, (seen) => {
        const told = notices(seriesNews(look({ events: seen })))
        // An event that ended is news for five builds.
        const wanted = seen.filter(
          (event) => event.answer === null && (event.standing || event.to >= BUILDS - 5),
        )
        expect(told).toHaveLength(wanted.length)
      }),
    )
  })

  it('accounts for every event seen: as one that was known, or as one that is found', () => {
    fc.assert(
      fc.property(events, events, (first, second) => {
        const known = written([], seriesNews(look({ events: first, watched: false })))
        const news = seriesNews(look({ events: second, known }))
        const after = written(known, news)
        expect(after.filter(({ state }) => state === 'seen')).toHaveLength(second.length)
        expect(new Set(after.map(({ id }) => id)).size).toBe(after.length)
      }),
    )
  })

  it('is not told again as a standing event goes on and its first build is estimated anew nearby', () => {
    fc.assert(
      fc.property(drawn, fc.integer({ min: 1, max: 5 }), (one, later) => {
        const from = Math.min(one.from, BUILDS - 8)
        const standing = eventOf({ ...one, from, standing: true, answer: null })
        const known = written([], seriesNews(look({ events: [standing] })))
        const moved = { ...standing, from: from + later, plausible: [from, from + later] }
        expect(notices(seriesNews(look({ events: [moved], known })))).toEqual([])
      }),
    )
  })

  it('is told again of an event that was taken out of the record and comes back', () => {
    fc.assert(
      fc.property(drawn, (one) => {
        const standing = eventOf({ ...one, standing: true, answer: null })
        const known = written([], seriesNews(look({ events: [standing] })))
        // Something was taken out or decided: the event is gone for good, not overlooked.
        const gone = written(known, seriesNews(look({ known, basis: 1 })))
        expect(gone.map(({ state }) => state)).toEqual(['gone'])
        // The store hands out no event that is gone.
        expect(notices(seriesNews(look({ events: [standing], known: [], basis: 1 })))).toHaveLength(1)
      }),
    )
  })

  it('is not told again of an event that is not found for a while, although nothing was taken out', () => {
    fc.assert(
      fc.property(drawn, (one) => {
        const standing = eventOf({ ...one, standing: true, answer: null })
        const known = written([], seriesNews(look({ events: [standing] })))
        const resting = written(known, seriesNews(look({ known })))
        expect(resting.map(({ state }) => state)).toEqual(['resting'])
        const news = seriesNews(look({ events: [standing], known: resting }))
        expect(notices(news)).toEqual([])
        expect(written(resting, news).map(({ state }) => state)).toEqual(['seen'])
      }),
    )
  })
})
