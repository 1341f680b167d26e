import { useState } from 'preact/hooks'
import type { Scope, TokenMade, TokensView } from '../../server/contract/access.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { remove } from '../data/change.ts'
import { send } from '../data/decide.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { useResource } from '../data/resource.ts'
import { SecretForm } from '../parts/access/secret-form.tsx'
import { SecretShown } from '../parts/access/secret-shown.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { storedName, Who } from '../parts/who.tsx'
import { dayText } from '../words/quantities.ts'
import { SCOPES_TEXT } from '../words/roles.ts'

const SCOPES = Object.keys(SCOPES_TEXT) as Scope[]

/** Tokens of machines, for the administrator. */
export function TokensPage() {
  useTitle('Tokens')
  const resource = useResource<TokensView>('/api/tokens')
  const [shown, setShown] = useState<{ readonly name: string; readonly token: string } | null>(null)
  const [who, setWho] = useState(storedName)
  const [problem, setProblem] = useState<Problem | null>(null)
  const tokens = resource.value?.tokens ?? null
  const inForce = tokens?.filter(({ revokedAt }) => revokedAt === null).length ?? 0
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <Reading resource={resource} what="the tokens" />
      {tokens !== null && (
        <>
          <header class="opening">
            <h1>
              {inForce === 0
                ? 'No machine has a token.'
                : `${capitalise(countWord(inForce))} ${inForce === 1 ? 'machine has a token' : 'machines have tokens'}.`}
            </h1>
            <p class="grounds">
              A measuring machine or a script sends its token with each request, and what it does goes on
              record under the token’s name. <a href="/interface">What there is to call</a>
            </p>
          </header>
          {shown !== null && (
            <SecretShown
              said={`This is the token of ${shown.name}. It is shown this once; only its hash is kept.`}
              label={`Token of ${shown.name}`}
              secret={shown.token}
            />
          )}
          {problem !== null && <ProblemNotice problem={problem} />}
          {tokens.length > 0 && (
            <TokenTable
              tokens={tokens}
              onRevoke={(name) =>
                remove(`/api/tokens/${encodeURIComponent(name)}`).then(
                  () => {
                    setProblem(null)
                    resource.again()
                  },
                  (error: unknown) => setProblem(problemOf(error)),
                )
              }
            />
          )}
          <section>
            <h2>Make a token</h2>
            <SecretForm
              submit="Make it"
              send={async ({ name = '', ...chosen }) => {
                const scopes = SCOPES.filter((scope) => scope in chosen)
                const { token } = await send<TokenMade>('/api/tokens', {
                  name,
                  scopes,
                  who: who.trim() || undefined,
                })
                setShown({ name, token })
                resource.again()
              }}
            >
              <label class="field">
                Name of the machine, as it stands on receipts
                <input type="text" name="name" autocomplete="off" required maxLength={100} />
              </label>
              <fieldset class="scopes">
                <legend>It may</legend>
                {SCOPES.map((scope) => (
                  <label key={scope} class="beside">
                    <input type="checkbox" name={scope} /> {SCOPES_TEXT[scope]}
                  </label>
                ))}
              </fieldset>
              <Who value={who} onChange={setWho} />
            </SecretForm>
          </section>
        </>
      )}
    </>
  )
}

interface TokenTableProps {
  readonly tokens: TokensView['tokens']
  onRevoke(name: string): void
}

function TokenTable({ tokens, onRevoke }: TokenTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="Tokens" tabIndex={0}>
      <table class="list">
        <caption class="unseen">Tokens</caption>
        <thead>
          <tr>
            <th scope="col">machine</th>
            <th scope="col">may</th>
            <th scope="col">made</th>
            <th scope="col">in force</th>
          </tr>
        </thead>
        <tbody>
          {tokens.map(({ name, scopes, createdAt, revokedAt }) => (
            <tr key={name}>
              <td>{name}</td>
              <td>{scopes.join(', ')}</td>
              <td class="time">{dayText(createdAt)}</td>
              <td>
                {revokedAt === null ? (
                  <button
                    type="button"
                    class="plain"
                    aria-label={`Revoke it, token of ${name}`}
                    onClick={() => onRevoke(name)}
                  >
                    Revoke it
                  </button>
                ) : (
                  <span class="quiet">{`revoked ${dayText(revokedAt)}`}</span>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
