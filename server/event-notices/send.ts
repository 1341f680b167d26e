import { noticeText, noticeTitle, TRIAL_TITLE, trialText } from '../../src/words/notice-words.ts'
import type { NoticeContent } from '../contract/event-notices.ts'
import type { Delivery } from '../store/event-notice-reads.ts'
import { type MailSettings, sendMail } from './mail.ts'
import { callWebhook } from './webhook.ts'

/** How notices leave the server. */
export interface Sending {
  /** Null where no mail server is set. */
  readonly mail: MailSettings | null
  /** Address of the server as receivers reach it, without a slash at the end; null where it is not known. */
  readonly address: string | null
}

/** Where receivers of notices are chosen. */
const SETTINGS_PAGE = '/drift/notices'

/** Page of the event that a notice is about; null for a trial. */
export function pageOf(content: NoticeContent): string | null {
  if (content.kind === 'trial') return null
  const { partNumber, characteristics, stage, from, event } = content
  const path = [partNumber.number, partNumber.revision, characteristics[0]?.designator ?? '']
  const query = new URLSearchParams({ ...(stage === 'sintered' ? {} : { stage }), event: from, kind: event })
  return `/drift/${path.map(encodeURIComponent).join('/')}?${query}`
}

/** What a notice is about in one line. */
export function titleOf(content: NoticeContent): string {
  return content.kind === 'trial' ? TRIAL_TITLE : noticeTitle(content)
}

/**
 * Send a notice to its receiver.
 *
 * @param at moment of this try, seconds since 1970-01-01 UTC
 * @throws Error that says why it could not be sent
 */
export async function sendNotice(
  { mail, address }: Sending,
  secret: string | null,
  {
    noticeId,
    id,
    channel,
    target,
    content,
    at: made,
  }: Pick<Delivery, 'noticeId' | 'id' | 'channel' | 'target' | 'content' | 'at'>,
  at: number,
): Promise<void> {
  const page = pageOf(content)
  const link = (path: string | null) => (address === null || path === null ? null : address + path)
  const settings = link(SETTINGS_PAGE)
  if (channel === 'webhook') {
    await callWebhook(target, secret, {
      id: `notice-${noticeId}`,
      at,
      body: bodyOf(content, link(page), made),
    })
    return
  }
  if (mail === null) {
    throw new Error('No mail server is set: start the server with AS_SINTERED_SMTP_HOST.')
  }
  const text =
    content.kind === 'trial' ? trialText(content.who, settings) : noticeText(content, link(page), settings)
  const host = address === null ? (mail.sender.split('@').at(-1) ?? 'localhost') : new URL(address).hostname
  await sendMail(mail, {
    to: target,
    title: titleOf(content),
    text,
    id: `<notice-${noticeId}-${id}-${made}@${host}>`,
  })
}

/** The body of a webhook. Times as in ISO 8601. */
function bodyOf(content: NoticeContent, page: string | null, made: number): string {
  const timestamp = new Date(made * 1000).toISOString()
  if (content.kind === 'trial')
    return JSON.stringify({ type: 'trial', timestamp, data: { who: content.who } })
  const { kind: _, event, ...rest } = content
  return JSON.stringify({
    type: 'event',
    timestamp,
    data: { kind: event, ...rest, page },
  })
}
