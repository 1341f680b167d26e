import { ask } from '../../data/http.ts'
import { useSession } from '../../data/session.ts'

/** Who is signed in, in the head of every page, and the way out; nothing for the single user. */
export function SignedIn() {
  const who = useSession().view?.who
  if (who?.kind !== 'person' && who?.kind !== 'guest') return null
  const leave = async () => {
    try {
      await ask('/api/session', { method: 'DELETE' })
    } finally {
      // Loaded anew, so that nothing of what was shown stays.
      location.assign('/')
    }
  }
  return (
    <span class="signed-in">
      {who.kind === 'person' ? (
        <>
          <a href="/account">{who.name}</a>
          <span class="quiet">{who.role}</span>
        </>
      ) : (
        <span class="quiet">{`Guest: ${who.givenTo}`}</span>
      )}
      <button type="button" class="plain" onClick={leave}>
        Sign out
      </button>
    </span>
  )
}
