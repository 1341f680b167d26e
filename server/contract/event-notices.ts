import { z } from 'zod'
import type { Stage } from '../../src/domain/cell.ts'
import type { EventKind } from '../../src/events/event.ts'
import type { Signature } from './decisions.ts'

/** Notices of new events by e-mail and webhook: who gets them, and what was sent. */

/** What a notice of an event says; the same words as on the screen. */
export interface EventNoticeContent {
  readonly kind: 'event'
  readonly partNumber: { readonly number: string; readonly revision: string; readonly name: string | null }
  readonly stage: Stage
  readonly event: EventKind
  readonly sentence: string
  readonly grounds: string
  /** Null where there is nothing to forecast. */
  readonly forecast: string | null
  /** Names of the first build that shows it, and of the last; the last is null while it stands. */
  readonly from: string
  readonly to: string | null
  readonly characteristics: readonly { readonly designator: string; readonly name: string }[]
}

/** A notice that tests whether notices arrive. */
export interface TrialNoticeContent {
  readonly kind: 'trial'
  /** Who asked for it. */
  readonly who: string
}

export type NoticeContent = EventNoticeContent | TrialNoticeContent

export type NoticeChannel = 'e-mail' | 'webhook'

/** Hours in which nothing is sent; what is due then goes out when they end. */
export interface QuietHours {
  /** As "22:00". Where `from` is later than `to`, they go over midnight. */
  readonly from: string
  readonly to: string
  /** Name of the time zone they are meant in, as "Europe/Berlin". */
  readonly zone: string
}

/** Part number and revision. */
export interface NoticeSeries {
  readonly number: string
  readonly revision: string
}

export interface NoticeSettingsView {
  /** 0 while nobody has decided anything. */
  readonly version: number
  readonly recipients: readonly string[]
  /** The secret is never told. */
  readonly webhook: string | null
  /** Null for all of them, those to come among them. */
  readonly partNumbers: readonly NoticeSeries[] | null
  readonly quiet: QuietHours | null
}

export interface NoticeSettingsEntry extends Signature {
  readonly version: number
  /** What was changed, in words that follow the name. */
  readonly did: string
  readonly reason: string
}

/** One notice on its way to one receiver. Times in seconds since 1970-01-01 UTC. */
export interface DeliveryView {
  readonly id: number
  /** Of one event several deliveries. */
  readonly notice: number
  readonly at: number
  /** What it is about in one line. */
  readonly title: string
  /** Page of the event; null for a trial. */
  readonly page: string | null
  readonly channel: NoticeChannel
  readonly target: string
  readonly state: 'waiting' | 'sent' | 'failed'
  readonly tries: number
  /** When it was tried last, or sent; null before. */
  readonly triedAt: number | null
  /** When it is tried next; null where it is not. */
  readonly nextAt: number | null
  readonly error: string | null
}

/** GET /api/event-notices */
export interface EventNoticesView {
  readonly settings: NoticeSettingsView
  /** Newest first. */
  readonly history: readonly NoticeSettingsEntry[]
  /** How the server sends e-mail; null where no mail server is set. */
  readonly mail: { readonly server: string; readonly sender: string } | null
  /** Where links in notices lead; null where notices have none. */
  readonly address: string | null
  /** Newest first. */
  readonly deliveries: readonly DeliveryView[]
}

/** POST /api/event-notices/trial */
export interface TrialView {
  readonly outcomes: readonly {
    readonly channel: NoticeChannel
    readonly target: string
    /** Null where it was sent. */
    readonly error: string | null
  }[]
}

const who = z.string().trim().min(1, 'Give your name.').max(200)
const reason = z.string().trim().min(1, 'Say why, in a few words.').max(2000)
const hour = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Give the hour as 22:00.')

/** Characters of a secret: 24 of them hold at least 128 bits where each was drawn from 64. */
const LEAST_SECRET = 24

const webhook = z.object({
  address: z
    .url({ protocol: /^https?$/, error: 'Give an address that begins with https:// or http://.' })
    .max(2000)
    .refine((text) => !URL.canParse(text) || new URL(text).username === '', 'An address holds no user name.'),
  /** Null leaves the secret as it is. */
  secret: z
    .string()
    .min(LEAST_SECRET, `A secret has ${LEAST_SECRET} characters or more.`)
    .max(200)
    .nullable(),
})

const quietHours = z
  .object({
    from: hour,
    to: hour,
    zone: z.string().refine(isZone, 'This time zone is not known.'),
  })
  .refine(({ from, to }) => from !== to, 'Quiet hours end at another hour than they begin.')

export const noticeSettings = z.object({
  /** Version that the decision was made on the sight of. */
  version: z.number().int().min(0),
  recipients: z.array(z.email('This is not an e-mail address.').max(320)).max(50),
  webhook: webhook.nullable(),
  partNumbers: z
    .array(z.object({ number: z.string().min(1).max(200), revision: z.string().min(1).max(200) }))
    .min(1, 'Choose a part number.')
    .max(1000)
    .nullable(),
  quiet: quietHours.nullable(),
  who,
  reason,
})

export type NoticeSettingsRequest = z.infer<typeof noticeSettings>

export const trialNotice = z.object({ who })

export const deliveryNumber = z.object({ delivery: z.coerce.number().int().min(1) })

function isZone(zone: string): boolean {
  try {
    new Intl.DateTimeFormat('en', { timeZone: zone })
    return true
  } catch {
    return false
  }
}
