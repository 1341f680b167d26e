import { useState } from 'preact/hooks'
import type { GuestLinksView, LinkMade } from '../../../server/contract/access.ts'
import { remove } from '../../data/change.ts'
import { send } from '../../data/decide.ts'
import { type Problem, problemOf } from '../../data/http.ts'
import { useResource } from '../../data/resource.ts'
import { timeText } from '../../words/quantities.ts'
import { SecretForm } from '../access/secret-form.tsx'
import { SecretShown, wholeLink } from '../access/secret-shown.tsx'
import { ProblemNotice, Reading } from '../notice.tsx'
import { storedName, Who } from '../who.tsx'

/** Links that open a report to guests: those there are, and a new one. */
export function GuestLinks({ report, onClose }: { report: number; onClose(): void }) {
  const address = `/api/reports/${report}/guest-links`
  const resource = useResource<GuestLinksView>(address)
  const [who, setWho] = useState(storedName)
  const [made, setMade] = useState<(LinkMade & { readonly givenTo: string }) | null>(null)
  const [problem, setProblem] = useState<Problem | null>(null)
  const now = Date.now() / 1000
  const links = resource.value?.links ?? []
  return (
    <section class="guest-links">
      <h2>{`Guests of report ${report}`}</h2>
      <p>
        Whoever holds a link reads this report and nothing else, without signing in, until it expires or is
        taken back.
      </p>
      {made !== null && (
        <SecretShown
          said={`Give this link to ${made.givenTo}. It opens the report until ${timeText(made.expiresAt)}; it is shown this once.`}
          label={`Link for ${made.givenTo}`}
          secret={wholeLink(made.link)}
        />
      )}
      <Reading resource={resource} what="the links" />
      {problem !== null && <ProblemNotice problem={problem} />}
      {links.length > 0 && (
        <ul class="written">
          {links.map(({ id, givenTo, who: by, expiresAt, revokedAt }) => (
            <li key={id}>
              {`${givenTo}, `}
              <span class="quiet">
                {`given by ${by}, ${
                  revokedAt !== null
                    ? `taken back ${timeText(revokedAt)}`
                    : expiresAt <= now
                      ? `expired ${timeText(expiresAt)}`
                      : `good until ${timeText(expiresAt)} `
                }`}
              </span>
              {revokedAt === null && expiresAt > now && (
                <button
                  type="button"
                  class="plain"
                  aria-label={`Take it back, link of ${givenTo}`}
                  onClick={() =>
                    remove(`${address}/${id}`).then(resource.again, (error: unknown) =>
                      setProblem(problemOf(error)),
                    )
                  }
                >
                  Take it back
                </button>
              )}
            </li>
          ))}
        </ul>
      )}
      <SecretForm
        submit="Make the link"
        send={async ({ givenTo = '', days }) => {
          const link = await send<LinkMade>(address, { givenTo, days: Number(days), who: who.trim() })
          setMade({ ...link, givenTo })
          resource.again()
        }}
      >
        <label class="field">
          For whom it is
          <input type="text" name="givenTo" autocomplete="off" required maxLength={100} />
        </label>
        <label class="field">
          Days that it lasts
          <input type="number" name="days" min={1} max={365} defaultValue="14" required />
        </label>
        <Who value={who} onChange={setWho} />
      </SecretForm>
      <p class="actions">
        <button type="button" class="plain" onClick={onClose}>
          Close
        </button>
      </p>
    </section>
  )
}
