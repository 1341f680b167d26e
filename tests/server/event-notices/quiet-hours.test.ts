import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { afterQuietHours } from '../../../server/event-notices/quiet-hours.ts'

const at = (text: string) => Date.parse(text) / 1000

describe('what is due', () => {
  it('is sent at once where there are no quiet hours', () => {
    expect(afterQuietHours(1_800_000_000, null)).toBe(1_800_000_000)
  })

  it('waits for their end, over midnight too', () => {
    const quiet = { from: '22:00', to: '06:00', zone: 'UTC' }
    expect(afterQuietHours(at('2026-11-02T22:00:00Z'), quiet)).toBe(at('2026-11-03T06:00:00Z'))
    expect(afterQuietHours(at('2026-11-03T05:59:59Z'), quiet)).toBe(at('2026-11-03T06:00:00Z'))
    for (const free of ['2026-11-02T21:59:59Z', '2026-11-03T06:00:00Z'])
      expect(afterQuietHours(at(free), quiet)).toBe(at(free))
  })

  it('goes by the clock of the zone that is named', () => {
    // Berlin is one hour ahead of UTC in winter and two in summer (time zone database).
    const quiet = { from: '22:00', to: '06:00', zone: 'Europe/Berlin' }
    expect(afterQuietHours(at('2026-01-10T21:30:00Z'), quiet)).toBe(at('2026-01-11T05:00:00Z'))
    expect(afterQuietHours(at('2026-07-10T20:30:00Z'), quiet)).toBe(at('2026-07-11T04:00:00Z'))
  })

  it('has no quiet hours where they end as they begin', () => {
    expect(afterQuietHours(at('2026-11-02T07:00:00Z'), { from: '07:00', to: '07:00', zone: 'UTC' })).toBe(
      at('2026-11-02T07:00:00Z'),
    )
  })

  it('is sent outside of them, within a day, and never earlier', () => {
    const clock = fc
      .tuple(fc.nat(23), fc.nat(59))
      .map((parts) => parts.map((part) => String(part).padStart(2, '0')).join(':'))
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 4e9 }), clock, clock, (due, from, to) => {
        const quiet = { from, to, zone: 'UTC' }
        const sent = afterQuietHours(due, quiet)
        expect(sent).toBeGreaterThanOrEqual(due)
        expect(sent - due).toBeLessThan(86_400)
        expect(afterQuietHours(sent, quiet)).toBe(sent)
      }),
    )
  })
})
