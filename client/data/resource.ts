import { useCallback, useEffect, useState } from 'preact/hooks'
import { askVersioned, mayPass, type Problem, problemOf } from './http.ts'
import { isOlder, latestVersion, onVersion, tellRefreshed } from './notices.ts'

/** Something read from the server. The last value stays while a new one is on its way or cannot be had. */
export interface Resource<T> {
  readonly value: T | null
  readonly loading: boolean
  readonly problem: Problem | null
  again(): void
}

interface State<T> {
  readonly address: string | null
  readonly value: T | null
  /** The answer as it came, to tell whether a later one says anything new. */
  readonly text: string | null
  readonly version: string | null
  readonly problem: Problem | null
  /** Whether the problem may be gone when the address is read once more. */
  readonly passing: boolean
  readonly loading: boolean
}

/** Milliseconds between two readings for notices: while files come in by the dozen, not every one is followed. */
const SETTLE = 300
/** Milliseconds until an address that could not be read because the server was away is read again. */
const RETRY = 3000

/**
 * Reads an address as JSON, again whenever the address changes, and again when the server tells that the record has
 * changed since; null reads nothing.
 */
export function useResource<T>(address: string | null): Resource<T> {
  const [state, setState] = useState<State<T>>({
    address: null,
    value: null,
    text: null,
    version: null,
    problem: null,
    passing: false,
    loading: address !== null,
  })
  const [turn, setTurn] = useState(0)
  const told = useTold()
  // A new turn reads the same address again.
  useEffect(() => {
    if (address === null) {
      setState({
        address,
        value: null,
        text: null,
        version: null,
        problem: null,
        passing: false,
        loading: false,
      })
      return
    }
    const stop = new AbortController()
    // A problem stays in sight until it is known to be gone.
    setState((before) => ({
      ...before,
      address,
      loading: true,
      problem: before.address === address ? before.problem : null,
    }))
    askVersioned<T>(address, { signal: stop.signal }).then(
      ({ value, text, version }) =>
        setState((before) => {
          // What says the same stays the same object, so that nothing is drawn anew.
          const same = before.text === text
          return {
            address,
            value: same ? before.value : value,
            text,
            version,
            problem: null,
            passing: false,
            loading: false,
          }
        }),
      (error: unknown) => {
        if (stop.signal.aborted) return
        setState((before) => ({
          ...before,
          problem: problemOf(error),
          passing: mayPass(error),
          loading: false,
        }))
      },
    )
    return () => stop.abort()
  }, [address, turn])
  const again = useCallback(() => setTurn((before) => before + 1), [])
  const away = !state.loading && state.passing
  useEffect(() => {
    if (!away) return
    const timer = setTimeout(again, RETRY)
    window.addEventListener('online', again)
    return () => {
      clearTimeout(timer)
      window.removeEventListener('online', again)
    }
  }, [away, again])
  const settled = !state.loading && state.address === address && state.problem === null
  useEffect(() => {
    if (address === null || told === null || !settled || !isOlder(state.version, told)) return
    const timer = setTimeout(again, SETTLE)
    return () => clearTimeout(timer)
  }, [address, told, settled, state.version, again])
  useRefreshed(address, settled ? state.text : null)
  return {
    value: state.value,
    loading: state.loading || state.address !== address,
    problem: state.problem,
    again,
  }
}

function useTold(): string | null {
  const [told, setTold] = useState(latestVersion)
  useEffect(() => onVersion(setTold), [])
  return told
}

/** Tells when the same address has answered something else than before. */
function useRefreshed(address: string | null, text: string | null): void {
  const [shown, setShown] = useState<{ address: string | null; text: string | null }>({ address, text })
  useEffect(() => {
    if (text === null || (shown.address === address && shown.text === text)) return
    if (shown.address === address && shown.text !== null) tellRefreshed()
    setShown({ address, text })
  }, [address, text])
}
