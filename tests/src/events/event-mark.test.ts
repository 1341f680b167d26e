import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type EventMark, recogniseEvents } from '../../../src/events/event-mark.ts'

const mark = (given: Partial<EventMark> = {}): EventMark => ({
  aspect: 'location',
  characteristics: ['1', '2'],
  from: 30,
  earliest: 29,
  latest: 32,
  to: 60,
  ...given,
})

const marks = fc
  .record({
    aspect: fc.constantFrom('location' as const, 'scatter' as const),
    characteristics: fc.uniqueArray(fc.constantFrom('1', '2', '3', '4'), { minLength: 1 }),
    earliest: fc.nat(80),
    before: fc.nat(5),
    after: fc.nat(5),
    length: fc.nat(30),
  })
  .map(
    ({ earliest, before, after, length, ...each }): EventMark => ({
      ...each,
      earliest,
      from: earliest + before,
      latest: earliest + before + after,
      to: earliest + before + length,
    }),
  )

describe('an event that is looked at again', () => {
  it('is the one known that may have begun with the same builds', () => {
    expect(recogniseEvents([mark()], [mark({ from: 33, earliest: 32, latest: 34 })], false)).toEqual([0])
    expect(recogniseEvents([mark()], [mark({ from: 34, earliest: 33, latest: 35 })], false)).toEqual([null])
  })

  it('is another where the scatter changed, or no characteristic is the same', () => {
    expect(recogniseEvents([mark()], [mark({ aspect: 'scatter' })], true)).toEqual([null])
    expect(recogniseEvents([mark()], [mark({ characteristics: ['3'] })], true)).toEqual([null])
  })

  it('is the one with most in common, then the nearest, and each is matched once', () => {
    const one = mark({ characteristics: ['1'] })
    const both = mark()
    expect(recogniseEvents([one, both], [both], false)).toEqual([1])
    expect(recogniseEvents([mark({ from: 32 }), mark({ from: 31 })], [mark()], false)).toEqual([1])
    expect(recogniseEvents([mark()], [mark(), mark()], false)).toEqual([0, null])
  })

  it('that was estimated anew after builds were added lies over the one known', () => {
    const anew = mark({ from: 45, earliest: 44, latest: 46, to: 70 })
    expect(recogniseEvents([mark()], [anew], true)).toEqual([0])
    expect(recogniseEvents([mark()], [anew], false)).toEqual([null])
    const wider = mark({ characteristics: ['1', '2', '3', '4', '5'] })
    const least = mark({ ...anew, characteristics: ['1', '6', '7', '8'] })
    expect(recogniseEvents([wider], [least], true)).toEqual([null])
  })

  it('is never matched twice, nor with one of the other aspect or without a common characteristic', () => {
    fc.assert(
      fc.property(
        fc.array(marks, { maxLength: 6 }),
        fc.array(marks, { maxLength: 6 }),
        fc.boolean(),
        (known, seen, grown) => {
          const found = recogniseEvents(known, seen, grown)
          expect(found).toHaveLength(seen.length)
          const matched = found.filter((index) => index !== null)
          expect(new Set(matched).size).toBe(matched.length)
          for (const [i, index] of found.entries()) {
            if (index === null) continue
            const [now, then] = [seen[i] as EventMark, known[index] as EventMark]
            expect(now.aspect).toBe(then.aspect)
            expect(now.characteristics.some((each) => then.characteristics.includes(each))).toBe(true)
          }
        },
      ),
    )
  })

  it('is recognised where nothing has changed: none is left over', () => {
    fc.assert(
      fc.property(fc.array(marks, { maxLength: 6 }), (known) => {
        expect(recogniseEvents(known, known, false)).not.toContain(null)
      }),
    )
  })
})
