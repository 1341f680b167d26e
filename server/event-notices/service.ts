import type { NoticeSettingsContent } from '../store/event-notice-reads.ts'
import type { Store } from '../store/store.ts'
import { deliverDue } from './deliver.ts'
import { lookForEvents } from './look.ts'
import type { Sending } from './send.ts'

/** Milliseconds between two looks at the record. While files come in by the dozen, not every one is followed. */
const LOOK_EVERY = 5000

export const NO_SETTINGS: NoticeSettingsContent = {
  recipients: [],
  webhook: null,
  partNumberIds: null,
  quiet: null,
}

/** The settings in force. */
export async function settingsInForce(store: Store): Promise<NoticeSettingsContent> {
  return (await store.noticeSettings()).at(-1) ?? NO_SETTINGS
}

/** Looks for new events and sends what is due; one round after another, until it is stopped. */
export interface NoticeService {
  /** One round: look where the record has changed since the last one, then send what is due. */
  round(): Promise<void>
  /** Go on by itself. */
  start(): void
  /** Ends with the round under way. */
  stop(): Promise<void>
}

/** @param clock seconds since 1970-01-01 UTC */
export function noticeService(
  store: Store,
  sending: Sending,
  clock: () => number,
  say: (message: string) => void = () => {},
): NoticeService {
  let seen: string | null = null
  let running: Promise<void> = Promise.resolve()
  let timer: NodeJS.Timeout | null = null
  let stopped = false

  const work = async () => {
    const settings = await settingsInForce(store)
    const version = await store.version()
    if (version === null || version !== seen) {
      await lookForEvents(store, settings, clock())
      // What the look itself wrote is seen by the next one, which finds nothing new in it.
      seen = version
    }
    await deliverDue(store, sending, settings, clock)
  }
  const round = () => {
    running = running.then(work)
    return running
  }
  const next = () => {
    timer = setTimeout(() => {
      round()
        // A database that is busy or away is back for a later round.
        .catch((error: Error) => {
          running = Promise.resolve()
          say(`Notices: ${error.message}`)
        })
        .finally(() => {
          if (!stopped) next()
        })
    }, LOOK_EVERY)
    timer.unref()
  }
  return {
    round,
    start: next,
    async stop() {
      stopped = true
      if (timer !== null) clearTimeout(timer)
      await running.catch(() => undefined)
    },
  }
}
