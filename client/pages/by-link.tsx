import { useEffect, useState } from 'preact/hooks'
import type { SessionView } from '../../server/contract/access.ts'
import { send } from '../data/decide.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { takeLinkSecret } from '../data/link-secret.ts'
import { takeSession } from '../data/session.ts'
import { NewPassword, SecretForm } from '../parts/access/secret-form.tsx'
import { ProblemNotice } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'

/** Where the link of an administrator leads: a person chooses a password, and is signed in. */
export function WelcomePage({ onDone }: { onDone(): void }) {
  useTitle('Choose a password')
  const [link] = useState(takeLinkSecret)
  return (
    <>
      <header class="opening">
        <h1>Choose a password.</h1>
        <p class="grounds">
          The link that brought you here works once. From then on you sign in with your name and this
          password.
        </p>
      </header>
      <SecretForm
        submit="Keep it and sign in"
        send={async ({ password }) => {
          takeSession(await send<SessionView>('/api/session/password-link', { link, password }))
          onDone()
        }}
      >
        <NewPassword />
      </SecretForm>
    </>
  )
}

/** Where the link to one report leads. */
export function GuestEntryPage({ onDone }: { onDone(): void }) {
  useTitle('A report for you')
  const [link] = useState(takeLinkSecret)
  const [problem, setProblem] = useState<Problem | null>(null)
  useEffect(() => {
    send<SessionView>('/api/session/guest', { link }).then(
      (view) => {
        takeSession(view)
        onDone()
      },
      (error: unknown) => setProblem(problemOf(error)),
    )
  }, [link, onDone])
  if (problem !== null) return <ProblemNotice problem={problem} />
  return (
    <p class="quiet" role="status">
      Opening the report …
    </p>
  )
}
