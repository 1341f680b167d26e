import type { Kysely, Selectable } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { NoticeChannel, NoticeContent, QuietHours } from '../contract/event-notices.ts'
import type { Signed } from './decision-reads.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { DeliveryState, KnownEventState, KnownEventTable } from './event-notice-tables.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** Who gets notices of what. */
export interface NoticeSettingsContent {
  readonly recipients: readonly string[]
  readonly webhook: string | null
  /** Identities of part numbers; null for all. */
  readonly partNumberIds: readonly number[] | null
  readonly quiet: QuietHours | null
}

export interface NoticeSettingsVersion extends Signed, NoticeSettingsContent {
  /** From 1 upwards. */
  readonly version: number
  /** Whether this version set another secret. */
  readonly newSecret: boolean
  readonly reason: string
}

/** Part number and stage. */
export interface Series {
  readonly partNumberId: number
  readonly stage: Stage
}

/** An event as it was seen last; builds by identity. */
export interface KnownEvent {
  readonly id: number
  readonly aspect: 'location' | 'scatter'
  readonly characteristics: readonly string[]
  readonly from: number
  readonly earliest: number
  readonly latest: number
  /** Null while it stands. */
  readonly to: number | null
  readonly state: KnownEventState
  readonly basis: number
}

/** What a look at one series has found: to be written at once. */
export interface SeriesNews {
  /** Whether the series is watched from now on. */
  readonly opens: boolean
  /** Known events that look different from before. */
  readonly changed: readonly KnownEvent[]
  /** New ones, with the notice to give of each; null where none is given. */
  readonly found: readonly { readonly event: Omit<KnownEvent, 'id'>; readonly notice: NoticeContent | null }[]
}

/** Where a notice goes. */
export interface Receiver {
  readonly channel: NoticeChannel
  readonly target: string
}

/** One notice on its way to one receiver. */
export interface Delivery extends Receiver {
  readonly id: number
  readonly noticeId: number
  /** When the notice was made. */
  readonly at: number
  readonly content: NoticeContent
  readonly state: DeliveryState
  /** Those made so far. */
  readonly tries: number
  readonly nextAt: number
  readonly triedAt: number | null
  readonly error: string | null
}

/** What came of a try. */
export interface Outcome {
  readonly at: number
  /** Null where it was sent. */
  readonly error: string | null
  /** When to try again; null where it is not to be tried any more. */
  readonly nextAt: number | null
}

export interface EventNoticeReads {
  /** All versions, oldest first. */
  noticeSettings(): Promise<NoticeSettingsVersion[]>
  /** Secret of the webhook in force; null where none is set. */
  webhookSecret(): Promise<string | null>
  watchedSeries(): Promise<Series[]>
  /** Those seen or resting. */
  knownEvents(series: Series): Promise<KnownEvent[]>
  /** How many times anything was taken out of the record or decided about charts of the series: it only ever grows. */
  takenOrDecided(series: Series): Promise<number>
  /** When the next delivery is due, which may be past; null where none waits. */
  nextDelivery(): Promise<number | null>
  /** Newest first. */
  deliveries(limit: number): Promise<Delivery[]>
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
  /** Add a notice with its deliveries, claimed until `claimedUntil` by the caller. @returns identities, those of the deliveries in order */
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

export function eventNoticeReads(db: Kysely<Schema>): EventNoticeReads {
  return {
    async noticeSettings() {
      const rows = await db
        .selectFrom('notice_settings')
        .select(['version', 'content', 'reason', 'who', 'at'])
        .orderBy('version')
        .execute()
      return rows.map((row) => ({
        ...(JSON.parse(row.content) as NoticeSettingsContent & { newSecret: boolean }),
        version: row.version,
        reason: row.reason,
        who: row.who,
        at: Number(row.at),
      }))
    },

    async webhookSecret() {
      const row = await db.selectFrom('webhook_secret').select('secret').executeTakeFirst()
      return row?.secret ?? null
    },

    async watchedSeries() {
      return await db
        .selectFrom('watched_series')
        .select(['part_number_id as partNumberId', 'stage'])
        .execute()
    },

    async knownEvents({ partNumberId, stage }) {
      const rows = await db
        .selectFrom('known_event')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .where('stage', '=', stage)
        .where('state', '!=', 'gone')
        .orderBy('id')
        .execute()
      return rows.map(knownOf)
    },

    async takenOrDecided({ partNumberId, stage }) {
      const row = await db
        .selectNoFrom((eb) => [
          eb
            .selectFrom('withdrawal')
            .select((e) => e.fn.countAll<number>().as('count'))
            .as('withdrawn'),
          eb
            .selectFrom('exclusion')
            .innerJoin('characteristic', 'characteristic.id', 'exclusion.characteristic_id')
            .where('characteristic.part_number_id', '=', partNumberId)
            .where('exclusion.stage', '=', stage)
            .select((e) => e.fn.countAll<number>().as('count'))
            .as('excluded'),
          eb
            .selectFrom('study_version')
            .innerJoin('characteristic', 'characteristic.id', 'study_version.characteristic_id')
            .where('characteristic.part_number_id', '=', partNumberId)
            .where('study_version.stage', '=', stage)
            .select((e) => e.fn.countAll<number>().as('count'))
            .as('decided'),
        ])
        .executeTakeFirstOrThrow()
      return Number(row.withdrawn) + Number(row.excluded) + Number(row.decided)
    },

    async nextDelivery() {
      const row = await db
        .selectFrom('notice_delivery')
        .where('state', '=', 'waiting')
        .select((eb) => eb.fn.min(eb.fn.coalesce('claimed_until', 'next_at')).as('next'))
        .executeTakeFirst()
      return row?.next === null || row?.next === undefined ? null : Number(row.next)
    },

    async deliveries(limit) {
      const rows = await deliveryRows(db).orderBy('notice_delivery.id', 'desc').limit(limit).execute()
      return rows.map(deliveryOf)
    },
  }
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

function deliveryRows(db: Kysely<Schema>) {
  return db
    .selectFrom('notice_delivery')
    .innerJoin('event_notice', 'event_notice.id', 'notice_delivery.notice_id')
    .select([
      'notice_delivery.id',
      'notice_delivery.notice_id as noticeId',
      'event_notice.at',
      'event_notice.content',
      'notice_delivery.channel',
      'notice_delivery.target',
      'notice_delivery.state',
      'notice_delivery.tries',
      'notice_delivery.next_at as nextAt',
      'notice_delivery.last_try_at as triedAt',
      'notice_delivery.last_error as error',
    ])
}

function deliveryOf(row: Omit<Delivery, 'content'> & { readonly content: string }): Delivery {
  return {
    ...row,
    content: JSON.parse(row.content) as NoticeContent,
    at: Number(row.at),
    nextAt: Number(row.nextAt),
    triedAt: row.triedAt === null ? null : Number(row.triedAt),
  }
}

function knownOf(row: Selectable<KnownEventTable>): KnownEvent {
  return {
    id: row.id,
    aspect: row.aspect,
    characteristics: JSON.parse(row.characteristics) as string[],
    from: row.from_build_id,
    earliest: row.earliest_build_id,
    latest: row.latest_build_id,
    to: row.to_build_id,
    state: row.state,
    basis: row.basis,
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
