import type { Kysely } from 'kysely'
import type { NoticeContent } from '../contract/event-notices.ts'
import { StaleDecisionError } from './decision-writes.ts'
import {
  type Delivery,
  deliveryOf,
  deliveryRows,
  type KnownEvent,
  type NoticeSettingsVersion,
  type Receiver,
  type Series,
} from './event-notice-reads.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** What a look at one series has found: to be written at once. */
export interface SeriesNews {
  /** Whether the series is watched from now on. */
  readonly opens: boolean
  /** Known events that look different from before. */
  readonly changed: readonly KnownEvent[]
  /** New ones, with the notice to give of each; null where none is given. */
  readonly found: readonly { readonly event: Omit<KnownEvent, 'id'>; readonly notice: NoticeContent | null }[]
}

/** What came of a try. */
export interface Outcome {
  readonly at: number
  /** Null where it was sent. */
  readonly error: string | null
  /** When to try again; null where it is not to be tried any more. */
  readonly nextAt: number | null
}

export interface EventNoticeWrites {
  /**
   * @param secret null leaves it as it is
   * @throws StaleDecisionError where `version` is not the one after the latest
   */
  addNoticeSettings(settings: Omit<NoticeSettingsVersion, 'newSecret'>, secret: string | null): Promise<void>
  /** From now on nothing is known of the series; watched again, it begins anew. */
  forgetSeries(series: Series): Promise<void>
  /** Write what a look has found, with a delivery of each notice to each receiver, due at `dueAt`. */
  keepNews(
    series: Series,
    news: SeriesNews,
    receivers: readonly Receiver[],
    at: number,
    dueAt: number,
  ): Promise<void>
  /**
   * Add a notice with its deliveries, claimed until `claimedUntil` by the caller. @returns identities, those of the
   * deliveries in order
   */
  addTrial(
    content: NoticeContent,
    receivers: readonly Receiver[],
    at: number,
    claimedUntil: number,
  ): Promise<{ readonly noticeId: number; readonly deliveries: readonly number[] }>
  /** Claim a delivery that is due, so that nobody else sends it; null where there is none. */
  claimDelivery(now: number, until: number): Promise<Delivery | null>
  /** Note what came of the delivery that was claimed until `claimedUntil`; nothing where another has claimed it since. */
  settleDelivery(id: number, claimedUntil: number, outcome: Outcome): Promise<void>
  /** Have one that was given up tried again. False where there is none such. */
  retryDelivery(id: number, now: number): Promise<boolean>
}

export function eventNoticeWrites(db: Kysely<Schema>, record: Recorder): EventNoticeWrites {
  const addNotice = async (content: NoticeContent, at: number): Promise<number> => {
    const id = await nextIdentity(db, 'event_notice')
    await db
      .insertInto('event_notice')
      .values({ id, content: JSON.stringify(content), at })
      .execute()
    return id
  }
  const addDeliveries = async (
    noticeId: number,
    receivers: readonly Receiver[],
    nextAt: number,
    claimedUntil: number | null,
  ): Promise<number[]> => {
    const first = await nextIdentity(db, 'notice_delivery')
    const rows = receivers.map(({ channel, target }, i) => ({
      id: first + i,
      notice_id: noticeId,
      channel,
      target,
      state: 'waiting' as const,
      tries: 0,
      next_at: nextAt,
      claimed_until: claimedUntil,
      last_try_at: null,
      last_error: null,
    }))
    if (rows.length > 0) await db.insertInto('notice_delivery').values(rows).execute()
    return rows.map(({ id }) => id)
  }

  return {
    async addNoticeSettings({ version, reason, who, at, ...content }, secret) {
      const last = await db
        .selectFrom('notice_settings')
        .select((eb) => eb.fn.max('version').as('version'))
        .executeTakeFirst()
      const latest = last?.version ?? 0
      if (latest + 1 !== version) throw new StaleDecisionError(`the latest is ${latest}`)
      const newSecret = secret !== null && content.webhook !== null
      await db
        .insertInto('notice_settings')
        .values({ version, content: JSON.stringify({ ...content, newSecret }), reason, who, at })
        .execute()
      if (newSecret || content.webhook === null) await db.deleteFrom('webhook_secret').execute()
      if (newSecret) await db.insertInto('webhook_secret').values({ id: 1, secret }).execute()
      const { recipients, ...plain } = content
      await record.append({
        kind: 'notice-settings',
        at,
        who,
        about: (content.partNumberIds ?? []).map((id) => ({ kind: 'part-number', id })),
        details: {
          version,
          recipients: recipients.length,
          webhook: plain.webhook !== null,
          newSecret,
          quiet: plain.quiet,
        },
        words: { reason, recipients: recipients.join(', '), webhook: plain.webhook },
        row: { table: 'notice_settings', key: { version } },
      })
    },

    async forgetSeries({ partNumberId, stage }) {
      record.withoutEntry('what follows from settings that are on record')
      await db
        .updateTable('known_event')
        .set({ state: 'gone' })
        .where('part_number_id', '=', partNumberId)
        .where('stage', '=', stage)
        .execute()
      await db
        .deleteFrom('watched_series')
        .where('part_number_id', '=', partNumberId)
        .where('stage', '=', stage)
        .execute()
    },

    async keepNews({ partNumberId, stage }, { opens, changed, found }, receivers, at, dueAt) {
      record.withoutEntry('the program computes events from the record, and nobody decides')
      if (opens) {
        await db
          .insertInto('watched_series')
          .values({ part_number_id: partNumberId, stage, since: at })
          .onConflict((conflict) => conflict.doNothing())
          .execute()
      }
      for (const event of changed) {
        await db.updateTable('known_event').set(columnsOf(event)).where('id', '=', event.id).execute()
      }
      for (const { event, notice } of found) {
        const noticeId = notice === null ? null : await addNotice(notice, at)
        if (noticeId !== null) await addDeliveries(noticeId, receivers, dueAt, null)
        await db
          .insertInto('known_event')
          .values({
            ...columnsOf(event),
            id: await nextIdentity(db, 'known_event'),
            part_number_id: partNumberId,
            stage,
            notice_id: noticeId,
          })
          .execute()
      }
    },

    async addTrial(content, receivers, at, claimedUntil) {
      record.withoutEntry('a trial changes nothing, and the log of sending names who asked for it')
      const noticeId = await addNotice(content, at)
      return { noticeId, deliveries: await addDeliveries(noticeId, receivers, at, claimedUntil) }
    },

    async claimDelivery(now, until) {
      record.withoutEntry('sending has a log of its own')
      const due = await db
        .selectFrom('notice_delivery')
        .select('id')
        .where('state', '=', 'waiting')
        .where('next_at', '<=', now)
        .where((eb) => eb.or([eb('claimed_until', 'is', null), eb('claimed_until', '<=', now)]))
        .orderBy('next_at')
        .orderBy('id')
        .limit(1)
        .executeTakeFirst()
      if (due === undefined) return null
      await db.updateTable('notice_delivery').set({ claimed_until: until }).where('id', '=', due.id).execute()
      return deliveryOf(
        await deliveryRows(db).where('notice_delivery.id', '=', due.id).executeTakeFirstOrThrow(),
      )
    },

    async settleDelivery(id, claimedUntil, { at, error, nextAt }) {
      record.withoutEntry('sending has a log of its own')
      await db
        .updateTable('notice_delivery')
        .set((eb) => ({
          state:
            error === null ? ('sent' as const) : nextAt === null ? ('failed' as const) : ('waiting' as const),
          tries: eb('tries', '+', 1),
          next_at: nextAt ?? at,
          claimed_until: null,
          last_try_at: at,
          last_error: error,
        }))
        .where('id', '=', id)
        .where('claimed_until', '=', claimedUntil)
        .execute()
    },

    async retryDelivery(id, now) {
      record.withoutEntry('sending has a log of its own')
      const { numUpdatedRows } = await db
        .updateTable('notice_delivery')
        .set({ state: 'waiting', next_at: now })
        .where('id', '=', id)
        .where('state', '=', 'failed')
        .executeTakeFirst()
      return numUpdatedRows === 1n
    },
  }
}

function columnsOf(event: Omit<KnownEvent, 'id'>) {
  return {
    aspect: event.aspect,
    characteristics: JSON.stringify(event.characteristics),
    from_build_id: event.from,
    earliest_build_id: event.earliest,
    latest_build_id: event.latest,
    to_build_id: event.to,
    state: event.state,
    basis: event.basis,
  }
}

async function nextIdentity(
  db: Kysely<Schema>,
  table: 'event_notice' | 'known_event' | 'notice_delivery',
): Promise<number> {
  const row = await db
    .selectFrom(table)
    .select((eb) => eb.fn.max('id').as('last'))
    .executeTakeFirst()
  return Number(row?.last ?? 0) + 1
}
