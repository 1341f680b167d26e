/**
 * What the server tells of changes to the record. The page listens only while it is seen: browsers allow a server few
 * connections at a time, and a page that comes back into sight is told at once where the record stands.
 */

type Listener = (version: string) => void

const listeners = new Set<Listener>()
let latest: string | null = null
let source: EventSource | null = null
let watched = false

/**
 * Milliseconds until a server that refused to be listened to, or one before it that answered in its place, is asked
 * again.
 */
const LISTEN_AGAIN = 5000

/** The newest version told; null before the first. */
export function latestVersion(): string | null {
  return latest
}

/** Calls back with every version that the server tells. @returns how to stop */
export function onVersion(listener: Listener): () => void {
  listeners.add(listener)
  if (!watched) {
    watched = true
    document.addEventListener('visibilitychange', listen)
    listen()
  }
  return () => listeners.delete(listener)
}

/** Listen from now on, where the page is seen and does not yet. */
export function listenAgain(): void {
  if (watched) listen()
}

const lostListeners = new Set<(since: Date | null) => void>()
let lostSince: Date | null = null

/**
 * Calls back when the server is no longer heard, with since when, and with null once it is again. @returns how to stop
 */
export function onLost(listener: (since: Date | null) => void): () => void {
  lostListeners.add(listener)
  return () => lostListeners.delete(listener)
}

function setLostSince(since: Date | null): void {
  if (since === lostSince) return
  lostSince = since
  for (const listener of [...lostListeners]) listener(since)
}

function listen(): void {
  if (document.visibilityState === 'hidden') {
    source?.close()
    source = null
    // Nobody looks, and nobody listens.
    setLostSince(null)
    return
  }
  if (source !== null) return
  // The browser connects again by itself, and says which version it heard last.
  source = new EventSource('/api/notices')
  // Refused, and not only lost: the browser gives up then, as it does where something between answers for the server.
  source.onopen = () => setLostSince(null)
  source.onerror = () => {
    setLostSince(lostSince ?? new Date())
    if (source?.readyState !== EventSource.CLOSED) return
    source = null
    setTimeout(listen, LISTEN_AGAIN)
  }
  source.onmessage = ({ data }: MessageEvent<string>) => {
    latest = data
    for (const listener of [...listeners]) listener(data)
  }
}

/**
 * Whether an answer was read from an older state of the record than the one told of. Versions of one run of the server
 * count up; those of another say nothing, so that the answer is taken for older.
 *
 * @param version of the answer; null where the server did not tell
 */
export function isOlder(version: string | null, told: string): boolean {
  if (version === null) return true
  const [run, count] = split(version)
  const [toldRun, toldCount] = split(told)
  return run !== toldRun || count < toldCount
}

function split(version: string): [string, number] {
  const at = version.lastIndexOf('.')
  return [version.slice(0, at), Number(version.slice(at + 1))]
}

const refreshed = new Set<() => void>()

/** Calls back when something on the page was replaced by what the record says now. @returns how to stop */
export function onRefreshed(listener: () => void): () => void {
  refreshed.add(listener)
  return () => refreshed.delete(listener)
}

export function tellRefreshed(): void {
  for (const listener of [...refreshed]) listener()
}
