import { createHmac } from 'node:crypto'

/** Milliseconds until an answer has to have begun. */
const PATIENCE = 10_000

export interface WebhookMessage {
  readonly id: string
  /** Seconds since 1970-01-01 UTC; the receiver refuses what is old. */
  readonly at: number
  /** JSON. */
  readonly body: string
}

/**
 * Signature of a message: HMAC-SHA256 of identity, time and body, joined by full stops, in base64 after "v1,". This and
 * the names of the headings are those of the open specification Standard Webhooks, so that receivers can check it with
 * what they have.
 *
 * @param secret as typed; after "whsec_" the bytes in base64
 */
export function signature(secret: string, { id, at, body }: WebhookMessage): string {
  const key = secret.startsWith(PREFIX)
    ? Buffer.from(secret.slice(PREFIX.length), 'base64')
    : Buffer.from(secret, 'utf8')
  return `v1,${createHmac('sha256', key).update(`${id}.${at}.${body}`).digest('base64')}`
}

const PREFIX = 'whsec_'

/** @throws Error that says what the receiver answered, or that it did not */
export async function callWebhook(
  address: string,
  secret: string | null,
  message: WebhookMessage,
  patience = PATIENCE,
): Promise<void> {
  const answer = await fetch(address, {
    method: 'POST',
    // Whoever is written in the settings gets the notice, nobody that they point to.
    redirect: 'manual',
    signal: AbortSignal.timeout(patience),
    headers: {
      'content-type': 'application/json',
      'webhook-id': message.id,
      'webhook-timestamp': String(message.at),
      ...(secret === null ? {} : { 'webhook-signature': signature(secret, message) }),
    },
    body: message.body,
  }).catch((error: unknown) => {
    throw new Error(unheard(error))
  })
  await answer.body?.cancel()
  if (answer.status >= 300 && answer.status < 400) {
    throw new Error(`It answered ${answer.status} and pointed elsewhere, which is not followed.`)
  }
  if (!answer.ok) throw new Error(`It answered ${answer.status}.`)
}

function unheard(error: unknown): string {
  if (!(error instanceof Error)) return String(error)
  if (error.name === 'TimeoutError') return 'It did not answer in time.'
  const cause = error.cause instanceof Error ? error.cause.message : ''
  return `It cannot be reached${cause === '' ? '.' : `: ${cause}.`}`
}
