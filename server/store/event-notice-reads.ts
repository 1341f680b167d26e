import type { Kysely, Selectable } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { NoticeChannel, NoticeContent, QuietHours } from '../contract/event-notices.ts'
import type { Signed } from './decision-reads.ts'
import type { DeliveryState, KnownEventState, KnownEventTable } from './event-notice-tables.ts'
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

export function deliveryRows(db: Kysely<Schema>) {
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

export function deliveryOf(row: Omit<Delivery, 'content'> & { readonly content: string }): Delivery {
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
