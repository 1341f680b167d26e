import type { NoticeSettingsContent } from '../store/event-notice-reads.ts'
import type { Store } from '../store/store.ts'
import { afterQuietHours } from './quiet-hours.ts'
import { type Sending, sendNotice } from './send.ts'

/** Seconds that a process may take over one delivery before another takes it for dead. Sending ends well before. */
export const IN_HAND = 300

/** Seconds until the second try; each further one waits twice as long, up to the longest. */
const FIRST_WAIT = 60
const LONGEST_WAIT = 6 * 3600
/** After so many tries, some two days, a delivery is given up. */
export const MOST_TRIES = 16

/** Seconds to wait after so many tries. */
export function waitAfter(tries: number): number {
  return Math.min(LONGEST_WAIT, FIRST_WAIT * 2 ** (tries - 1))
}

/**
 * Send everything that is due, one after another. A delivery is claimed first, so that of several processes one sends it;
 * where that one dies on the way, it is sent again, for better twice than never.
 */
export async function deliverDue(
  store: Store,
  sending: Sending,
  settings: NoticeSettingsContent,
  clock: () => number,
): Promise<void> {
  for (;;) {
    const next = await store.nextDelivery()
    if (next === null || next > clock()) return
    const claimedUntil = clock() + IN_HAND
    const delivery = await store.write((writer) => writer.claimDelivery(clock(), claimedUntil))
    if (delivery === null) return
    const error = await attempt(async () =>
      sendNotice(sending, await store.webhookSecret(), delivery, clock()),
    )
    const at = clock()
    const tries = delivery.tries + 1
    const nextAt =
      error === null || tries >= MOST_TRIES ? null : afterQuietHours(at + waitAfter(tries), settings.quiet)
    await store.write((writer) => writer.settleDelivery(delivery.id, claimedUntil, { at, error, nextAt }))
  }
}

/** What went wrong, in words; null where nothing did. */
export async function attempt(work: () => Promise<void>): Promise<string | null> {
  try {
    await work()
    return null
  } catch (error) {
    return error instanceof Error ? error.message : String(error)
  }
}
