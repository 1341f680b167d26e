import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findDateOrder, TimeReader } from '../../../server/intake/times.ts'

const iso = (seconds: number) => new Date(seconds * 1000).toISOString()

describe('reading times', () => {
  it('of every way that leaves no doubt', () => {
    const reader = new TimeReader(null)
    const written: [string, string][] = [
      ['2026-03-02', '2026-03-02T00:00:00.000Z'],
      ['2026-3-2 8:05', '2026-03-02T08:05:00.000Z'],
      ['2026-03-02T08:05:09', '2026-03-02T08:05:09.000Z'],
      ['2026-03-02T08:05:09.5Z', '2026-03-02T08:05:09.000Z'],
      ['2026-03-02T08:05:09-05:30', '2026-03-02T13:35:09.000Z'],
      ['2026/03/02 08:05', '2026-03-02T08:05:00.000Z'],
      ['2.3.2026 8:05', '2026-03-02T08:05:00.000Z'],
      ['02-Mar-2026 12:00 PM', '2026-03-02T12:00:00.000Z'],
      ['2 March 2026', '2026-03-02T00:00:00.000Z'],
      ['March 2, 2026 8:05', '2026-03-02T08:05:00.000Z'],
      ['2. März 2026', '2026-03-02T00:00:00.000Z'],
      ['2 août 2026', '2026-08-02T00:00:00.000Z'],
      ['2 giugno 2026', '2026-06-02T00:00:00.000Z'],
      ['2 dic 2026', '2026-12-02T00:00:00.000Z'],
      ['20260302', '2026-03-02T00:00:00.000Z'],
      ['20260302T080509Z', '2026-03-02T08:05:09.000Z'],
      ['2.3.26 8:05', '2026-03-02T08:05:00.000Z'],
      ['13/2/26', '2026-02-13T00:00:00.000Z'],
      ['13/2/2026', '2026-02-13T00:00:00.000Z'],
      ['2/13/2026', '2026-02-13T00:00:00.000Z'],
      ['2/2/2026', '2026-02-02T00:00:00.000Z'],
      ['2024-02-29', '2024-02-29T00:00:00.000Z'],
    ]
    for (const [text, time] of written) expect(iso(reader.read(text)), text).toBe(time)
  })

  it('refuses the doubtful and the impossible', () => {
    const reader = new TimeReader(null)
    const wrong = [
      '',
      '3/4/2026',
      '2026-02-29',
      '2026-13-01',
      '2026-00-10',
      '2026-01-00',
      '31.4.2026',
      '2026-01-01 24:00',
      '2026-01-01 10:60',
      '0026-01-01',
      '26-01-01',
      '3/4/26',
      '45000',
      '2026-01-01 13:00 PM',
      '5 Foo 2026',
      'yesterday',
      '2026-01-01T',
    ]
    for (const text of wrong) {
      expect(reader.read(text), text).toBeNaN()
      if (text !== '') expect(reader.reason, text).not.toBe('')
    }
  })

  it('follows the order that the file shows', () => {
    expect(iso(new TimeReader('day-month').read('3/4/2026'))).toBe('2026-04-03T00:00:00.000Z')
    expect(iso(new TimeReader('month-day').read('3/4/2026'))).toBe('2026-03-04T00:00:00.000Z')
    expect(new TimeReader('day-month').read('3/14/2026')).toBeNaN()
  })

  it('reads back what a clock writes', () => {
    const reader = new TimeReader(null)
    fc.assert(
      fc.property(
        fc.date({ min: new Date('1900-01-01'), max: new Date('2199-12-31'), noInvalidDate: true }),
        (date) => {
          expect(reader.read(date.toISOString())).toBe(Math.floor(date.getTime() / 1000))
        },
      ),
    )
  })
})

describe('finding the order of dates with slashes', () => {
  it('from a number above twelve', () => {
    expect(findDateOrder(['3/4/2026', '13/4/2026'])).toBe('day-month')
    expect(findDateOrder(['3/4/2026', '3/14/2026'])).toBe('month-day')
    expect(findDateOrder(['3/4/2026', '2026-03-31'])).toBeNull()
    expect(findDateOrder(['13/4/2026', '3/14/2026'])).toBeNull()
  })
})
