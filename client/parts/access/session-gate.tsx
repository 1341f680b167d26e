import type { ComponentChildren } from 'preact'
import { useCallback, useEffect, useState } from 'preact/hooks'
import { Route, Router, useLocation } from 'preact-iso'
import { readSession, useSession } from '../../data/session.ts'
import { GuestEntryPage, WelcomePage } from '../../pages/by-link.tsx'
import { SignInPage } from '../../pages/sign-in.tsx'
import { GuestReportPage, GuidePage } from '../../pages-on-demand.ts'
import { AppearanceChoice } from '../appearance.tsx'
import { ProblemNotice, Reading } from '../notice.tsx'
import { SignedIn } from './signed-in.tsx'

/**
 * Shows the pages to whoever may read them, and to others where they can sign in, or the one report they are guests of.
 * Where a session ends meanwhile, the page stays as it is, so that nothing half written is lost.
 */
export function SessionGate({ children }: { children: ComponentChildren }) {
  const { path, route } = useLocation()
  const { view, problem } = useSession()
  const who = view?.who
  const reads = who?.kind === 'single user' || who?.kind === 'person'
  const [seen, setSeen] = useState(false)
  useEffect(() => {
    if (reads) setSeen(true)
  }, [reads])
  const home = useCallback(() => route('/', true), [route])

  if (path === '/welcome') {
    return (
      <Bare>
        <WelcomePage onDone={home} />
      </Bare>
    )
  }
  if (path === '/guest') {
    return (
      <Bare>
        <GuestEntryPage onDone={home} />
      </Bare>
    )
  }
  if (who === undefined) {
    return (
      <Bare>
        {problem === null ? (
          <Reading
            resource={{ value: null, loading: true, problem, again: readSession }}
            what="who is signed in"
          />
        ) : (
          <ProblemNotice problem={problem} again={readSession} />
        )}
      </Bare>
    )
  }
  if (who.kind === 'guest') return <Bare>{besideGuide(<GuestReportPage who={who} />)}</Bare>
  const people = who.kind !== 'nobody' || who.people
  if (!reads && !seen) return <Bare>{besideGuide(<SignInPage people={people} />)}</Bare>
  return (
    <>
      {!reads && (
        <section class="sign-in-again" aria-label="Sign in again">
          <SignInPage people={people} again />
        </section>
      )}
      {children}
    </>
  )
}

/** The guide is there for everybody. */
function besideGuide(page: ComponentChildren) {
  return (
    <Router>
      <Route path="/guide/:page?" component={GuidePage} />
      <Route default component={() => <>{page}</>} />
    </Router>
  )
}

function Bare({ children }: { children: ComponentChildren }) {
  return (
    <>
      <header class="head">
        <a class="name" href="/">
          as-sintered
        </a>
        <SignedIn />
      </header>
      <main id="main" tabIndex={-1}>
        {children}
      </main>
      <footer class="foot">
        <a href="/guide">Guide</a>
        <AppearanceChoice />
      </footer>
    </>
  )
}
