import type { SessionView } from '../../server/contract/access.ts'
import { send } from '../data/decide.ts'
import { takeSession } from '../data/session.ts'
import { SecretForm } from '../parts/access/secret-form.tsx'
import { useTitle } from '../parts/title.ts'

interface SignInPageProps {
  /** False where nobody is on record, so that nobody can sign in. */
  readonly people: boolean
  /** Above a page that was read until the session ended. */
  readonly again?: boolean
}

/** Where whoever is not signed in can. */
export function SignInPage({ people, again = false }: SignInPageProps) {
  useTitle(again ? null : 'Sign in')
  if (!people) {
    return (
      <header class="opening">
        <h1>Nobody can sign in yet: no administrator is on record.</h1>
        <p class="grounds">
          Put one on record where the program runs, and then load this page anew:{' '}
          <code>node dist/node/server/main.js person add NAME --role administrator</code>
        </p>
      </header>
    )
  }
  return (
    <>
      <header class="opening">
        {again ? <h2>Your session has ended. Sign in to go on.</h2> : <h1>Sign in.</h1>}
        <p class="grounds">
          {again
            ? 'What is on this page stays as it is.'
            : 'The page that you asked for opens then. If your password is forgotten, ask an administrator for a link that sets a new one.'}
        </p>
      </header>
      <SecretForm
        submit="Sign in"
        send={async ({ name, password }) =>
          takeSession(await send<SessionView>('/api/session', { name, password }))
        }
      >
        <label class="field">
          Name
          <input type="text" name="name" autocomplete="username" required maxLength={100} />
        </label>
        <label class="field">
          Password
          <input type="password" name="password" autocomplete="current-password" required maxLength={1000} />
        </label>
      </SecretForm>
    </>
  )
}
