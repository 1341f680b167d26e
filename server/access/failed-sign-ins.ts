import type { FailedSignIn } from '../store/sessions.ts'
import type { Store } from '../store/store.ts'

/** Seconds for which failures are counted together. */
export const COUNTED_TOGETHER = 3600
/** Failures of one such time that get an entry each: a shop's mistyped passwords, and the first of a flood. */
export const ENTRIES_OF_THEIR_OWN = 20
/** Addresses and people that an entry about many names. */
const MOST_NAMED = 20

/**
 * Puts failed sign-ins on record, and cannot be made to fill it: the first twenty of an hour get an entry each, what
 * comes beyond them is counted and gets one together. Whoever failed does not wait for it.
 */
export interface FailedSignIns {
  failed(failure: FailedSignIn): void
  /** One that came too soon after others for its password to be looked at. */
  cameTooSoon(failure: FailedSignIn): void
}

/** What is counted and not on record yet. */
interface Counted {
  failures: number
  tooSoon: number
  readonly addresses: Set<string>
  readonly people: Set<number>
  /** When the first of them failed. */
  readonly from: number
}

export function failedSignIns(store: Pick<Store, 'write'>): FailedSignIns {
  let since = Number.NEGATIVE_INFINITY
  let own = 0
  let counted: Counted | null = null

  // Not waited for, since a write may have to wait for a large import. What cannot be kept stands in the log still.
  const keep = (write: Parameters<Store['write']>[0]) => void store.write(write).catch(() => undefined)

  const begin = (at: number) => {
    if (at - since < COUNTED_TOGETHER) return
    conclude(at)
    since = at
    own = 0
  }
  const conclude = (at: number) => {
    if (counted === null) return
    const { failures, tooSoon, from, addresses, people } = counted
    counted = null
    keep((writer) =>
      writer.addFailedSignIns({
        failures,
        tooSoon,
        from,
        at,
        addresses: [...addresses],
        people: [...people],
      }),
    )
  }
  const count = ({ at, address, person }: FailedSignIn, what: 'failures' | 'tooSoon') => {
    if (counted === null) {
      counted = { failures: 0, tooSoon: 0, addresses: new Set(), people: new Set(), from: at }
      const left = (since + COUNTED_TOGETHER - at) * 1000
      setTimeout(() => begin(since + COUNTED_TOGETHER), left).unref()
    }
    counted[what]++
    if (counted.addresses.size < MOST_NAMED) counted.addresses.add(address)
    if (person !== null && counted.people.size < MOST_NAMED) counted.people.add(person.id)
  }

  return {
    failed(failure) {
      begin(failure.at)
      if (own >= ENTRIES_OF_THEIR_OWN) return count(failure, 'failures')
      own++
      keep((writer) => writer.addFailedSignIn(failure))
    },
    cameTooSoon(failure) {
      begin(failure.at)
      count(failure, 'tooSoon')
    },
  }
}
