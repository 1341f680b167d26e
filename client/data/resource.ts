import { useCallback, useEffect, useState } from 'preact/hooks'
import { ask, type Problem, problemOf } from './http.ts'

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
  readonly problem: Problem | null
  readonly loading: boolean
}

/** Reads an address as JSON, and again whenever the address changes; null reads nothing. */
export function useResource<T>(address: string | null): Resource<T> {
  const [state, setState] = useState<State<T>>({
    address: null,
    value: null,
    problem: null,
    loading: address !== null,
  })
  const [turn, setTurn] = useState(0)
  // A new turn reads the same address again.
  useEffect(() => {
    if (address === null) {
      setState({ address, value: null, problem: null, loading: false })
      return
    }
    const stop = new AbortController()
    setState((before) => ({ ...before, address, loading: true, problem: null }))
    ask<T>(address, { signal: stop.signal }).then(
      (value) => setState({ address, value, problem: null, loading: false }),
      (error: unknown) => {
        if (stop.signal.aborted) return
        setState((before) => ({ ...before, problem: problemOf(error), loading: false }))
      },
    )
    return () => stop.abort()
  }, [address, turn])
  const again = useCallback(() => setTurn((before) => before + 1), [])
  return {
    value: state.value,
    loading: state.loading || state.address !== address,
    problem: state.problem,
    again,
  }
}
