import { useEffect, useState } from 'preact/hooks'
import type { RouteCall } from '../../server/access/route-roles.ts'
import type { SessionView } from '../../server/contract/access.ts'
import { ask, onUnauthorised, type Problem, problemOf } from './http.ts'
import { listenAgain } from './notices.ts'

/** Who is signed in, for the whole page. */
export interface Session {
  /** Null before the server has answered. */
  readonly view: SessionView | null
  /** Why it has not. */
  readonly problem: Problem | null
}

const listeners = new Set<() => void>()
let session: Session = { view: null, problem: null }
let asked: Promise<void> | null = null

function tell(next: Session): void {
  session = next
  for (const listener of [...listeners]) listener()
}

/** Asks the server anew who is signed in. */
export function readSession(): Promise<void> {
  asked ??= ask<SessionView>('/api/session')
    .then(
      (view) => tell({ view, problem: null }),
      (error: unknown) => tell({ ...session, problem: problemOf(error) }),
    )
    .finally(() => {
      asked = null
    })
  return asked
}

/** What the server answered to signing in or out. */
export function takeSession(view: SessionView): void {
  tell({ view, problem: null })
  listenAgain()
}

// Whatever is refused because nobody is signed in: the session has ended meanwhile.
onUnauthorised(() => {
  if (session.view !== null && session.view.who.kind !== 'nobody') void readSession()
})

export function useSession(): Session {
  const [now, setNow] = useState(session)
  useEffect(() => {
    const listener = () => setNow(session)
    listeners.add(listener)
    listener()
    if (session.view === null && session.problem === null) void readSession()
    return () => {
      listeners.delete(listener)
    }
  }, [])
  return now
}

/** Name of whoever is signed in; null for the single user, whose name is asked for, and for others without one. */
export function signedInName(): string | null {
  const who = session.view?.who
  return who?.kind === 'person' ? who.name : null
}

/** Tells what the server would let whoever is here do; everything before it has answered. */
export function useMay(): (call: RouteCall) => boolean {
  const { view } = useSession()
  return (call) => view === null || view.mayCall.includes(call)
}
