/** Wrong passwords of a name that cost nothing yet: people mistype. */
const FREE_BY_NAME = 4
/** Wrong passwords from an address: a whole shop may stand behind one. */
const FREE_BY_ADDRESS = 20
/** Seconds to wait at most. So long as this is short, nobody can lock another out by guessing for ever. */
const LONGEST_WAIT = 60
/** Seconds after the last wrong password until it is forgotten. */
const FORGOTTEN_AFTER = 3600
/** Names and addresses kept in mind; with more, the oldest are forgotten. */
const MOST_KEPT = 20_000

interface Failures {
  readonly count: number
  /** Seconds since 1970-01-01 UTC. */
  readonly last: number
}

/** Who tries to sign in. */
export interface Attempt {
  readonly name: string
  readonly address: string
  /** Whether this person has signed in from this address before. */
  readonly known: boolean
}

/**
 * How long whoever mistyped has to wait: nothing at first, then 1, 2, 4 … up to 60 s, by name and by address.
 *
 * Whoever tries from an address that the person has signed in from before is counted apart, so that a stranger who
 * guesses at a name does not slow down the one it belongs to.
 */
export interface Throttle {
  /** Seconds to wait before this attempt may be made; 0 for none. */
  wait(attempt: Attempt, now: number): number
  failed(attempt: Attempt, now: number): void
  succeeded(attempt: Attempt): void
}

export function createThrottle(): Throttle {
  const kept = new Map<string, Failures>()

  const failuresOf = (key: string, now: number): Failures => {
    const found = kept.get(key)
    return found === undefined || now - found.last > FORGOTTEN_AFTER ? { count: 0, last: 0 } : found
  }
  const waitFor = (key: string, free: number, now: number): number => {
    const { count, last } = failuresOf(key, now)
    if (count <= free) return 0
    return Math.max(0, last + Math.min(2 ** (count - free - 1), LONGEST_WAIT) - now)
  }
  const count = (key: string, now: number) => {
    const failures = failuresOf(key, now)
    kept.delete(key)
    kept.set(key, { count: failures.count + 1, last: now })
    const oldest = kept.keys().next()
    if (kept.size > MOST_KEPT && !oldest.done) kept.delete(oldest.value)
  }

  return {
    wait: (attempt, now) =>
      Math.max(
        waitFor(nameKey(attempt), FREE_BY_NAME, now),
        attempt.known ? 0 : waitFor(addressKey(attempt), FREE_BY_ADDRESS, now),
      ),
    failed(attempt, now) {
      count(nameKey(attempt), now)
      count(addressKey(attempt), now)
    },
    succeeded(attempt) {
      kept.delete(nameKey(attempt))
    },
  }
}

function nameKey({ name, address, known }: Attempt): string {
  const plain = name.normalize('NFKC').trim().toLowerCase()
  return known ? `known ${address} ${plain}` : `name ${plain}`
}

function addressKey({ address }: Attempt): string {
  return `address ${address}`
}
