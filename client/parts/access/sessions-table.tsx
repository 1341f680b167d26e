import type { SignedInBrowser } from '../../../server/contract/access.ts'
import { browserName } from '../../words/browser-name.ts'
import { timeText } from '../../words/quantities.ts'

interface SessionsTableProps {
  readonly sessions: readonly SignedInBrowser[]
  /** Whose they are, for those who do not see the heading. */
  readonly of: string
  onEnd(id: number): void
}

/** Browsers that are signed in, each to be signed out. */
export function SessionsTable({ sessions, of, onEnd }: SessionsTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={`Where ${of} is signed in`} tabIndex={0}>
      <table class="list">
        <caption class="unseen">{`Where ${of} is signed in`}</caption>
        <thead>
          <tr>
            <th scope="col">browser</th>
            <th scope="col">from</th>
            <th scope="col">signed in</th>
            <th scope="col">used</th>
            <th scope="col">until at most</th>
            <th scope="col">end</th>
          </tr>
        </thead>
        <tbody>
          {sessions.map(({ id, browser, address, startedAt, seenAt, expiresAt, own }) => (
            <tr key={id}>
              <td title={browser}>{browserName(browser)}</td>
              <td>{address}</td>
              <td class="time">{timeText(startedAt)}</td>
              <td class="time">{own ? 'now, here' : timeText(seenAt)}</td>
              <td class="time">{timeText(expiresAt)}</td>
              <td>
                {!own && (
                  <button
                    type="button"
                    class="plain"
                    aria-label={`End it, session of ${timeText(startedAt)}`}
                    onClick={() => onEnd(id)}
                  >
                    End it
                  </button>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
