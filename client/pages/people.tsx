import { useState } from 'preact/hooks'
import type { LinkMade, PeopleView, PersonView, Role } from '../../server/contract/access.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { put, remove } from '../data/change.ts'
import { send } from '../data/decide.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { useResource } from '../data/resource.ts'
import { useSession } from '../data/session.ts'
import { SecretForm } from '../parts/access/secret-form.tsx'
import { SecretShown, wholeLink } from '../parts/access/secret-shown.tsx'
import { SessionsTable } from '../parts/access/sessions-table.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { timeText } from '../words/quantities.ts'
import { ROLES_TEXT } from '../words/roles.ts'

interface Shown extends LinkMade {
  readonly name: string
}

/** Who may sign in, for the administrator. */
export function PeoplePage() {
  useTitle('People')
  const who = useSession().view?.who
  const resource = useResource<PeopleView>('/api/people')
  const [shown, setShown] = useState<Shown | null>(null)
  const [problem, setProblem] = useState<Problem | null>(null)
  const people = resource.value?.people ?? null
  const done = (change: Promise<unknown>) => {
    setProblem(null)
    change.then(resource.again, (error: unknown) => {
      setProblem(problemOf(error))
      // Somebody else may have been faster: what is shown is read anew.
      resource.again()
    })
  }
  const linkFor = (name: string, made: Promise<LinkMade>) =>
    made.then((link) => {
      setShown({ ...link, name })
      resource.again()
    })
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <Reading resource={resource} what="the people" />
      {people !== null && (
        <>
          <header class="opening">
            <h1>{sentence(people)}</h1>
            <p class="grounds">
              {people.length === 0
                ? 'Whoever is at this machine may do everything, and gives a name for the record. As soon as somebody is on record, everybody signs in. The first person is an administrator, put on record where the program runs: '
                : 'Names stand under decisions for good, so nobody is taken off the list; who has left is kept from signing in.'}
              {people.length === 0 && (
                <code>node dist/node/server/main.js person add NAME --role administrator</code>
              )}
            </p>
          </header>
          {shown !== null && (
            <SecretShown
              said={`Give this link to ${shown.name}. It lets them choose a password, once, until ${timeText(shown.expiresAt)}; it is shown this once.`}
              label={`Link for ${shown.name}`}
              secret={wholeLink(shown.link)}
            />
          )}
          {problem !== null && <ProblemNotice problem={problem} />}
          {people.length > 0 && (
            <>
              <ul class="people">
                {people.map((person) => (
                  <PersonItem
                    key={person.id}
                    person={person}
                    self={who?.kind === 'person' && who.id === person.id}
                    onRole={(role) =>
                      done(put(`/api/people/${person.id}/role`, { role, seen: seenOf(person) }))
                    }
                    onDisabled={(disabled) =>
                      done(put(`/api/people/${person.id}/disabled`, { disabled, seen: seenOf(person) }))
                    }
                    onLink={() =>
                      done(linkFor(person.name, send<LinkMade>(`/api/people/${person.id}/password-link`, {})))
                    }
                    onEnd={(session) => done(remove(`/api/sessions/${session}`))}
                  />
                ))}
              </ul>
              <section>
                <h2>Put a person on record</h2>
                <SecretForm
                  submit="Put on record"
                  send={({ name = '', role }) => linkFor(name, send<LinkMade>('/api/people', { name, role }))}
                >
                  <label class="field">
                    Name, as it stands under decisions
                    <input type="text" name="name" autocomplete="off" required maxLength={100} />
                  </label>
                  <label class="field">
                    Role
                    <select name="role">
                      <RoleOptions />
                    </select>
                  </label>
                </SecretForm>
              </section>
              <section>
                <h2>What each role may do</h2>
                <dl class="roles">
                  {Object.entries(ROLES_TEXT).map(([role, text]) => (
                    <div key={role}>
                      <dt>{role}</dt>
                      <dd>{text}</dd>
                    </div>
                  ))}
                </dl>
              </section>
            </>
          )}
        </>
      )}
    </>
  )
}

function sentence(people: readonly PersonView[]): string {
  const active = people.filter(({ disabledAt }) => disabledAt === null)
  const administrators = active.filter(({ role }) => role === 'administrator').length
  if (people.length === 0) return 'Nobody is on record, and nobody needs to sign in.'
  if (active.length === 1 && administrators === 1) return 'One person may sign in, as administrator.'
  return `${capitalise(countWord(active.length))} ${active.length === 1 ? 'person' : 'people'} may sign in, ${countWord(administrators)} of them as administrator.`
}

/** How the person stands here: a change made on an older sight is refused. */
function seenOf({ role, disabledAt }: PersonView) {
  return { role, disabledAt }
}

interface PersonItemProps {
  readonly person: PersonView
  readonly self: boolean
  onRole(role: Role): void
  onDisabled(disabled: boolean): void
  onLink(): void
  onEnd(session: number): void
}

function PersonItem({ person, self, onRole, onDisabled, onLink, onEnd }: PersonItemProps) {
  const [open, setOpen] = useState(false)
  const { name, role, disabledAt, hasPassword, sessions } = person
  return (
    <li>
      <div class="person">
        <span class="person-name">
          {name}
          {self && <span class="quiet"> (you)</span>}
        </span>
        <select
          aria-label={`Role of ${name}`}
          value={role}
          onChange={(event) => onRole(event.currentTarget.value as Role)}
        >
          <RoleOptions />
        </select>
        <span class="quiet">
          {disabledAt !== null
            ? `may not sign in since ${timeText(disabledAt)}`
            : !hasPassword
              ? 'has not chosen a password yet'
              : sessions.length === 0
                ? 'not signed in'
                : ''}
        </span>
        <span class="choices">
          {sessions.length > 0 && (
            <button type="button" class="plain" aria-expanded={open} onClick={() => setOpen(!open)}>
              {`Signed in ${sessions.length === 1 ? 'once' : `${countWord(sessions.length)} times`}`}
            </button>
          )}
          {disabledAt === null && (
            <button
              type="button"
              class="plain"
              aria-label={`Link for a new password, ${name}`}
              onClick={onLink}
            >
              Link for a new password
            </button>
          )}
          <button
            type="button"
            class="plain"
            aria-label={`${disabledAt === null ? 'Keep from signing in' : 'Let sign in again'}, ${name}`}
            onClick={() => onDisabled(disabledAt === null)}
          >
            {disabledAt === null ? 'Keep from signing in' : 'Let sign in again'}
          </button>
        </span>
      </div>
      {open && <SessionsTable sessions={sessions} of={name} onEnd={onEnd} />}
    </li>
  )
}

function RoleOptions() {
  return (
    <>
      {(Object.keys(ROLES_TEXT) as Role[]).map((role) => (
        <option key={role} value={role}>
          {role}
        </option>
      ))}
    </>
  )
}
