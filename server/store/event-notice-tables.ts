import type { Stage } from '../../src/domain/cell.ts'

/** Tables of notices: who gets them, which events are known, and what is sent. */
export interface EventNoticeTables {
  notice_settings: NoticeSettingsTable
  webhook_secret: WebhookSecretTable
  watched_series: WatchedSeriesTable
  known_event: KnownEventTable
  event_notice: EventNoticeTable
  notice_delivery: NoticeDeliveryTable
}

/** Rows are only ever added; the latest counts. */
export interface NoticeSettingsTable {
  /** From 1 upwards. */
  version: number
  /** Everything but the secret, as JSON. */
  content: string
  reason: string
  who: string
  at: number
}

/**
 * The secret that bodies for the webhook are signed with: one row, apart from the settings, since those before are not
 * kept.
 */
export interface WebhookSecretTable {
  id: number
  secret: string
}

/** Part numbers and stages whose events are known, so that what is found from now on is news. */
export interface WatchedSeriesTable {
  part_number_id: number
  stage: Stage
  since: number
}

/**
 * An event as it was seen last. seen: it is on record. resting: it is not found at present, although nothing was taken
 * out or decided since, so that it is the same event should it be found again. gone: it was taken out.
 */
export type KnownEventState = 'seen' | 'resting' | 'gone'

export interface KnownEventTable {
  id: number
  part_number_id: number
  stage: Stage
  aspect: 'location' | 'scatter'
  /** Designators as a JSON array. */
  characteristics: string
  from_build_id: number
  earliest_build_id: number
  latest_build_id: number
  /** Null while the event stands. */
  to_build_id: number | null
  state: KnownEventState
  /** How many times anything was taken out of the record or decided about charts when it was seen last. */
  basis: number
  /** Null where no notice was given. */
  notice_id: number | null
}

export interface EventNoticeTable {
  id: number
  /** What it says, as JSON. */
  content: string
  at: number
}

/** waiting: to be sent at `next_at`. failed: given up. */
export type DeliveryState = 'waiting' | 'sent' | 'failed'

/** One notice on its way to one receiver. */
export interface NoticeDeliveryTable {
  id: number
  notice_id: number
  channel: 'e-mail' | 'webhook'
  target: string
  state: DeliveryState
  tries: number
  next_at: number
  /** Until then the process that has it in hand keeps others from sending it. */
  claimed_until: number | null
  last_try_at: number | null
  last_error: string | null
}
