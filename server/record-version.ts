import { randomUUID } from 'node:crypto'
import type { Store } from './store/store.ts'

/** Heading of an answer that says which state of the record it was read from, or a later one. */
export const VERSION_HEADING = 'x-record-version'

/**
 * How often the record has changed since this server began, behind a name for this run of it: "3f0c….17". Numbers of one
 * run can be compared, so that a page knows which of two answers is older. Null while it cannot be told.
 */
export type RecordVersion = () => Promise<string | null>

export function recordVersion(store: Store): RecordVersion {
  const run = randomUUID()
  let count = 0
  let seen: string | null = null
  let last: Promise<unknown> = Promise.resolve()
  const look = async () => {
    const version = await store.version()
    if (version === null) return null
    if (version !== seen) {
      seen = version
      count++
    }
    return `${run}.${count}`
  }
  return () => {
    // One after another: an older version that is told later would count as a change.
    const asked = last.then(look)
    last = asked.catch(() => undefined)
    return asked
  }
}
