import { Hono } from 'hono'
import { newSecret, secretHash } from '../access/secrets.ts'
import { sessionsOf } from '../access/sessions.ts'
import { doingOf } from '../access/signer.ts'
import { now } from '../clock.ts'
import {
  type LinkMade,
  newPerson,
  type PeopleView,
  personDisabled,
  personId,
  roleChange,
} from '../contract/access.ts'
import { notFound, ProblemError } from '../problem.ts'
import { StaleDecisionError } from '../store/decision-writes.ts'
import { type Doing, LastAdministratorError, type Person } from '../store/people.ts'
import type { Store } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import { browsersOf } from './sessions.ts'
import { staleByRecord } from './stale-by-record.ts'
import { validated } from './validated.ts'

/** Seconds that a link to choose a password by is good for. */
const LINK_LASTS = 3 * 24 * 3600

/** People on record, for the administrator; below /api/people. */
export function peopleRoutes(store: Store) {
  const view = async (ownSession: number | null): Promise<PeopleView> => ({
    people: await Promise.all(
      (await store.people()).map(async (person) => ({
        ...person,
        sessions: browsersOf(await sessionsOf(store, person.id), ownSession),
      })),
    ),
  })
  const find = async (id: number): Promise<Person> => {
    const person = await store.person(id)
    if (person === null) throw notFound('There is no such person on record.', 'Pick one from the list.')
    return person
  }
  return new Hono()
    .get('/', async (c) => {
      const caller = c.get('caller')
      return c.json(await view(caller.kind === 'person' ? caller.session : null))
    })
    .post('/', validated('json', newPerson), async (c) => {
      const { name, role } = c.req.valid('json')
      if (!(await store.hasPeople())) throw nobodyYet()
      const made = await store.write(async (writer) => {
        const id = await writer.addPerson({ name, role, password: null }, doingOf(c))
        return id === null ? null : await linkFor(writer, id, doingOf(c))
      })
      if (made === null) {
        throw new ProblemError(409, {
          what: `There is, or was, somebody named ${name} on record.`,
          where: 'name',
          next: 'Give a name that tells the two apart: names stand under decisions for good.',
        })
      }
      return c.json(made, 201)
    })
    .post('/:person{[0-9]+}/password-link', validated('param', personId), async (c) => {
      const person = await find(c.req.valid('param').person)
      if (person.disabledAt !== null) {
        throw new ProblemError(409, {
          what: `${person.name} may not sign in at present.`,
          where: null,
          next: 'Let them sign in again first.',
        })
      }
      return c.json(await store.write((writer) => linkFor(writer, person.id, doingOf(c))), 201)
    })
    .put('/:person{[0-9]+}/role', validated('param', personId), validated('json', roleChange), async (c) => {
      const person = await find(c.req.valid('param').person)
      const { role, seen } = c.req.valid('json')
      await deciding(store, person, async (writer) => {
        await writer.requirePerson(person.id, seen)
        await writer.changeRole(person.id, role, doingOf(c))
      })
      return c.body(null, 204)
    })
    .put(
      '/:person{[0-9]+}/disabled',
      validated('param', personId),
      validated('json', personDisabled),
      async (c) => {
        const person = await find(c.req.valid('param').person)
        const { disabled, seen } = c.req.valid('json')
        await deciding(store, person, async (writer) => {
          await writer.requirePerson(person.id, seen)
          if (!disabled) return await writer.enablePerson(person.id, doingOf(c))
          await writer.disablePerson(person.id, doingOf(c))
          await writer.endSessionsOf(person.id, now())
        })
        return c.body(null, 204)
      },
    )
}

async function linkFor(writer: Writer, person: number, doing: Doing): Promise<LinkMade> {
  const secret = newSecret()
  const expiresAt = doing.at + LINK_LASTS
  await writer.addPasswordLink(person, secretHash(secret), expiresAt, doing)
  // Behind # it stays in the browser: no log on the way has it.
  return { link: `/welcome#${secret}`, expiresAt }
}

/** Decide about a person, unless they stand otherwise than they were seen, or nobody could let people in any more. */
async function deciding(
  store: Store,
  { id, name }: Person,
  work: (writer: Writer) => Promise<void>,
): Promise<void> {
  try {
    await store.write(work)
  } catch (error) {
    if (error instanceof StaleDecisionError) {
      throw await staleByRecord(store, { kind: 'person', id }, `what stands on record of ${name}`)
    }
    if (!(error instanceof LastAdministratorError)) throw error
    throw new ProblemError(409, {
      what: 'This is the last administrator who can sign in; without one, nobody could let people in.',
      where: null,
      next: 'Make somebody else an administrator first, and have them choose a password.',
    })
  }
}

function nobodyYet(): ProblemError {
  return new ProblemError(409, {
    what: 'The first person on record is an administrator, put there where the program runs.',
    where: null,
    next: 'Run there: person add NAME --role administrator',
  })
}
