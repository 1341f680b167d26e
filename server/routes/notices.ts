import { Hono } from 'hono'
import type { RecordVersion } from '../record-version.ts'
import type { Store } from '../store/store.ts'
import { eventStream } from './event-streams.ts'

/** Milliseconds between two looks at the record: commits of other processes to a file are heard in no other way. */
const LOOK_EVERY = 1000
/** Looks without news until a sign of life, which keeps what stands between from closing a quiet connection. */
const SIGN_OF_LIFE = 20
/** Milliseconds until the version is asked for again where it cannot be told. */
const AGAIN_AFTER = 50

/**
 * GET /api/notices: server-sent events, one with each change of the record. Its identity and its data are the version
 * of the record (see `RecordVersion`). The first comes at once, so that whoever comes back knows whether anything was
 * missed; nothing comes at once where `Last-Event-ID` is the version still.
 */
export function noticeRoutes(store: Store, version: RecordVersion) {
  return new Hono().get('/', (c) => {
    const heard = c.req.header('last-event-id') ?? null
    return eventStream(c, async (stream) => {
      let told = heard
      let changed = true
      let quiet = 0
      let wake = () => {}
      const stop = store.onChange(() => {
        changed = true
        wake()
      })
      stream.onAbort(() => {
        stop()
        wake()
      })
      while (!stream.aborted) {
        if (changed) {
          changed = false
          const now = await version()
          if (now === null) {
            await stream.sleep(AGAIN_AFTER)
            changed = true
          } else if (now !== told) {
            told = now
            quiet = 0
            await stream.writeSSE({ id: now, data: now })
          }
          continue
        }
        await woken((resolve) => {
          wake = resolve
        })
        changed = true
        if (++quiet % SIGN_OF_LIFE === 0 && !stream.aborted) await stream.write(': still here\n\n')
      }
    })
  })
}

/** Waits to be woken, or until it is time to look. */
function woken(give: (wake: () => void) => void): Promise<void> {
  return new Promise((resolve) => {
    const timer = setTimeout(resolve, LOOK_EVERY)
    timer.unref()
    give(() => {
      clearTimeout(timer)
      resolve()
    })
  })
}
