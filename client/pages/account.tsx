import { useState } from 'preact/hooks'
import type { SessionsView } from '../../server/contract/access.ts'
import { put, remove } from '../data/change.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { useResource } from '../data/resource.ts'
import { useSession } from '../data/session.ts'
import { NewPassword, SecretForm } from '../parts/access/secret-form.tsx'
import { SessionsTable } from '../parts/access/sessions-table.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'

/** One's own password, and where one is signed in. */
export function AccountPage() {
  useTitle('Your sign-in')
  const who = useSession().view?.who
  const sessions = useResource<SessionsView>(who?.kind === 'person' ? '/api/sessions' : null)
  const [changed, setChanged] = useState(false)
  const [problem, setProblem] = useState<Problem | null>(null)
  if (who?.kind !== 'person') {
    return (
      <header class="opening">
        <h1>Nobody is signed in: at this machine no password is needed.</h1>
      </header>
    )
  }
  const end = (id: number) =>
    remove(`/api/sessions/${id}`).then(sessions.again, (error: unknown) => setProblem(problemOf(error)))
  return (
    <>
      <header class="opening">
        <h1>{`You are signed in as ${who.name}, ${who.role}.`}</h1>
        <p class="grounds">Your name goes on record with whatever you decide, bring or make.</p>
      </header>
      <section>
        <h2>Where you are signed in</h2>
        <Reading resource={sessions} what="your sessions" />
        {sessions.value !== null && (
          <SessionsTable sessions={sessions.value.sessions} of={who.name} onEnd={end} />
        )}
        {problem !== null && <ProblemNotice problem={problem} />}
      </section>
      <section>
        <h2>Change your password</h2>
        <SecretForm
          submit="Change it"
          send={async ({ present, password }) => {
            await put('/api/session/password', { present, password })
            setChanged(true)
            sessions.again()
          }}
        >
          <label class="field">
            Present password
            <input type="password" name="present" autocomplete="current-password" required maxLength={1000} />
          </label>
          <NewPassword />
        </SecretForm>
        {changed && <p role="status">Your password is changed, and your other browsers are signed out.</p>}
      </section>
    </>
  )
}
