import { beforeEach, describe, expect, it } from 'vitest'
import { StaleDecisionError } from '../../../server/store/decision-writes.ts'
import type { KnownEvent } from '../../../server/store/event-notice-reads.ts'
import type { Store } from '../../../server/store/store.ts'

const settings = {
  recipients: ['ines@shop.example'],
  webhook: 'https://hooks.shop.example/spc',
  partNumberIds: [1],
  quiet: null,
}
const signed = { reason: 'for the weekend', who: 'Ines Quark', at: 1_790_000_100 }
const series = { partNumberId: 1, stage: 'sintered' } as const
const event: Omit<KnownEvent, 'id'> = {
  aspect: 'location',
  characteristics: ['1'],
  from: 2,
  earliest: 1,
  latest: 3,
  to: null,
  state: 'seen',
  basis: 0,
}
const notice = { kind: 'trial', who: 'Ines Quark' } as const
const receivers = [
  { channel: 'e-mail', target: 'ines@shop.example' },
  { channel: 'webhook', target: 'https://hooks.shop.example/spc' },
] as const

/**
 * What every store must do for notices of new events.
 *
 * @param filled the store, with builds 1 to 4 of part number 1
 */
export function eventNoticesContract(filled: () => Promise<Store>): void {
  describe('notices of events', () => {
    let store: Store
    beforeEach(async () => {
      store = await filled()
    })
    const keep = () =>
      store.write((writer) =>
        writer.keepNews(
          series,
          { opens: true, changed: [], found: [{ event, notice }] },
          receivers,
          100,
          160,
        ),
      )
    const claim = (now: number, until: number) => store.write((writer) => writer.claimDelivery(now, until))

    it('have settings by version, and the secret of the latest alone', async () => {
      const decide = (version: number, secret: string | null, webhook: string | null) =>
        store.write((writer) =>
          writer.addNoticeSettings({ ...settings, ...signed, webhook, version }, secret),
        )
      expect(await store.noticeSettings()).toEqual([])
      await decide(1, 'first', settings.webhook)
      await decide(2, null, settings.webhook)
      expect(await store.webhookSecret()).toBe('first')
      await decide(3, 'second', settings.webhook)
      expect(await store.webhookSecret()).toBe('second')
      await expect(decide(3, 'third', settings.webhook)).rejects.toThrow(StaleDecisionError)
      await decide(4, null, null)
      expect(await store.webhookSecret()).toBeNull()
      const versions = await store.noticeSettings()
      expect(versions.map(({ newSecret }) => newSecret)).toEqual([true, false, true, false])
      expect(versions[0]).toEqual({ ...settings, ...signed, version: 1, newSecret: true })
    })

    it('know events as they were seen last, until their series is forgotten', async () => {
      await keep()
      expect(await store.watchedSeries()).toEqual([series])
      expect(await store.knownEvents(series)).toEqual([{ ...event, id: 1 }])
      const ended = { ...event, id: 1, to: 4, state: 'resting' as const, basis: 2 }
      await store.write((writer) =>
        writer.keepNews(series, { opens: false, changed: [ended], found: [] }, [], 200, 200),
      )
      expect(await store.knownEvents(series)).toEqual([ended])
      await store.write((writer) => writer.forgetSeries(series))
      expect(await store.knownEvents(series)).toEqual([])
      expect(await store.watchedSeries()).toEqual([])
    })

    it('count what was taken out or decided, which only grows', async () => {
      expect(await store.takenOrDecided(series)).toBe(0)
      const place = { characteristicId: 1, stage: 'sintered' as const, buildId: 1, single: null }
      await store.write((writer) => writer.leaveOut(place, signed))
      expect(await store.takenOrDecided(series)).toBe(1)
      await store.write((writer) => writer.takeBack(1, signed))
      expect(await store.takenOrDecided(series)).toBe(2)
      expect(await store.takenOrDecided({ ...series, stage: 'green' })).toBe(0)
    })

    it('are claimed one by one when they are due, and settled by whoever claimed them', async () => {
      await keep()
      expect(await store.nextDelivery()).toBe(160)
      expect(await claim(159, 459)).toBeNull()
      const first = await claim(160, 460)
      expect(first).toMatchObject({ id: 1, noticeId: 1, at: 100, content: notice, tries: 0, ...receivers[0] })
      expect((await claim(160, 461))?.id).toBe(2)
      expect(await claim(160, 462)).toBeNull()
      const settle = (until: number, error: string | null, nextAt: number | null) =>
        store.write((writer) => writer.settleDelivery(1, until, { at: 165, error, nextAt }))
      await settle(999, null, null)
      expect((await store.deliveries(5))[1]).toMatchObject({ state: 'waiting', tries: 0 })
      await settle(460, 'busy', 225)
      expect((await store.deliveries(5))[1]).toMatchObject({
        state: 'waiting',
        tries: 1,
        error: 'busy',
        triedAt: 165,
        nextAt: 225,
      })
      expect((await claim(225, 525))?.id).toBe(1)
      await settle(525, 'busy', null)
      expect((await store.deliveries(5))[1]).toMatchObject({ state: 'failed', tries: 2 })
      expect(await store.write((writer) => writer.retryDelivery(1, 300))).toBe(true)
      expect(await store.write((writer) => writer.retryDelivery(1, 300))).toBe(false)
      expect((await claim(300, 600))?.id).toBe(1)
      await settle(600, null, null)
      expect((await store.deliveries(5))[1]).toMatchObject({ state: 'sent', tries: 3, error: null })
    })
  })
}
