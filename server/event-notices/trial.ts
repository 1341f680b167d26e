import type { TrialView } from '../contract/event-notices.ts'
import type { NoticeSettingsContent } from '../store/event-notice-reads.ts'
import type { Store } from '../store/store.ts'
import { attempt, IN_HAND } from './deliver.ts'
import { receiversOf } from './look.ts'
import { type Sending, sendNotice } from './send.ts'

/** Send a notice that says it is a trial to every receiver, once, and tell what came of it. */
export async function sendTrial(
  store: Store,
  sending: Sending,
  settings: NoticeSettingsContent,
  who: string,
  clock: () => number,
): Promise<TrialView> {
  const content = { kind: 'trial', who } as const
  const receivers = receiversOf(settings)
  const made = clock()
  const claimedUntil = made + IN_HAND
  const { noticeId, deliveries } = await store.write((writer) =>
    writer.addTrial(content, receivers, made, claimedUntil),
  )
  const secret = await store.webhookSecret()
  const outcomes = await Promise.all(
    receivers.map(async (receiver, i) => {
      const id = deliveries[i] as number
      const error = await attempt(() =>
        sendNotice(sending, secret, { ...receiver, id, noticeId, content, at: made }, clock()),
      )
      const outcome = { at: clock(), error, nextAt: null }
      await store.write((writer) => writer.settleDelivery(id, claimedUntil, outcome))
      return { ...receiver, error }
    }),
  )
  return { outcomes }
}
