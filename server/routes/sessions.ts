import { type Context, Hono } from 'hono'
import type { Caller, SignedInPerson } from '../access/caller.ts'
import { addressOf, type Entrance } from '../access/connection.ts'
import { failedSignIns } from '../access/failed-sign-ins.ts'
import { hashPassword, passwordFault, passwordMatches } from '../access/passwords.ts'
import { callsOf } from '../access/rights.ts'
import { secretHash } from '../access/secrets.ts'
import { forgetSession, newSession, sessionsOf } from '../access/sessions.ts'
import { doingOf } from '../access/signer.ts'
import { createThrottle } from '../access/throttle.ts'
import { now } from '../clock.ts'
import {
  guestSignIn,
  passwordByLink,
  passwordChange,
  type SessionsView,
  type SessionView,
  type SignedInBrowser,
  sessionId,
  signInRequest,
} from '../contract/access.ts'
import { ProblemError } from '../problem.ts'
import type { Person } from '../store/people.ts'
import type { Session, SignInWay } from '../store/sessions.ts'
import type { Store } from '../store/store.ts'
import { validated } from './validated.ts'

/** Signing in and out, and one's own password and sessions; below /api. */
export function sessionRoutes(store: Store, entrance: Entrance) {
  const throttle = createThrottle()
  const failures = failedSignIns(store)

  const view = async (caller: Caller): Promise<SessionView> => {
    const mayCall = callsOf(caller)
    switch (caller.kind) {
      case 'single user':
        return { who: { kind: 'single user' }, mayCall }
      case 'machine':
        return { who: { kind: 'machine', name: caller.name }, mayCall }
      case 'person': {
        const { id, name, role } = caller
        return { who: { kind: 'person', id, name, role }, mayCall }
      }
      case 'guest': {
        const report = (await store.reports()).find(({ number }) => number === caller.report)
        const kept = await store.report(caller.report)
        if (report === undefined || kept === null) break
        const { givenTo, expiresAt } = caller
        const { headline, grounds } = kept.content
        return { who: { kind: 'guest', report, said: { headline, grounds }, givenTo, expiresAt }, mayCall }
      }
    }
    return { who: { kind: 'nobody', people: await store.hasPeople() }, mayCall }
  }

  const failure = (
    c: Context,
    way: SignInWay,
    person: { readonly id: number; readonly name: string } | null = null,
  ) => ({
    way,
    person: person === null ? null : { id: person.id, name: person.name },
    address: addressOf(c, entrance),
    at: now(),
  })

  /**
   * Check a password, no more often than the throttle allows.
   *
   * @param found the person of that name, whether they may sign in or not
   * @throws ProblemError where it is wrong
   */
  const check = async (
    c: Context,
    name: string,
    password: string,
    found: (Person & { readonly password: string | null }) | null,
    wrong: string,
  ) => {
    const person = found?.disabledAt === null ? found : null
    const address = addressOf(c, entrance)
    const attempt = {
      name,
      address,
      known: person !== null && (await store.hasSignedInFrom(person.id, address)),
    }
    const wait = throttle.wait(attempt, now())
    if (wait > 0) {
      failures.cameTooSoon(failure(c, 'password', found))
      throw tooMany(c, wait)
    }
    // Counted before it is known, so that many at once are counted too.
    throttle.failed(attempt, now())
    if (!(await passwordMatches(password, person?.password ?? null))) {
      failures.failed(failure(c, 'password', found))
      throw new ProblemError(401, {
        what: wrong,
        where: 'password',
        next: 'Try again. If it is forgotten, ask an administrator for a link that sets a new one.',
      })
    }
    throttle.succeeded(attempt)
  }

  return new Hono()
    .get('/session', async (c) => c.json(await view(c.get('caller'))))
    .post('/session', validated('json', signInRequest), async (c) => {
      const { name, password } = c.req.valid('json')
      const person = await store.personNamed(name)
      await check(c, name, password, person, 'There is nobody of this name with this password.')
      if (person === null) throw new Error('a password matched that is not there')
      const session = newSession(c, entrance, { person: person.id, name: person.name })
      const id = await store.write((writer) => writer.addSession(session.row))
      session.give()
      return c.json(await view({ kind: 'person', ...person, session: id }), 201)
    })
    .delete('/session', async (c) => {
      const caller = c.get('caller')
      if (caller.kind === 'person' || caller.kind === 'guest') {
        const doing = { at: now(), who: caller.kind === 'person' ? caller.name : caller.givenTo }
        await store.write((writer) => writer.endSession(caller.session, doing))
      }
      forgetSession(c, entrance)
      return c.json(await view({ kind: 'nobody' }))
    })
    .post('/session/guest', validated('json', guestSignIn), async (c) => {
      const link = await store.guestLink(secretHash(c.req.valid('json').link), now())
      if (link === null) {
        failures.failed(failure(c, 'guest link'))
        throw deadLink('opened the report', 'whoever sent it')
      }
      const session = newSession(c, entrance, { guestLink: link.id, name: link.givenTo }, link.expiresAt)
      const id = await store.write((writer) => writer.addSession(session.row))
      session.give()
      const { report, givenTo, expiresAt } = link
      return c.json(await view({ kind: 'guest', report, givenTo, session: id, expiresAt }), 201)
    })
    .post('/session/password-link', validated('json', passwordByLink), async (c) => {
      const { link, password } = c.req.valid('json')
      const sha256 = secretHash(link)
      const person = await store.personOfPasswordLink(sha256, now())
      if (person === null) {
        failures.failed(failure(c, 'password link'))
        throw deadLink('set a password', 'an administrator')
      }
      requireGood(password, person.name)
      const kept = await hashPassword(password)
      const session = newSession(c, entrance, { person: person.id, name: person.name })
      const id = await store.write(async (writer) => {
        // Asked once more inside: the link may have been used meanwhile.
        if ((await writer.usePasswordLink(sha256, now())) === null)
          throw deadLink('set a password', 'an administrator')
        await writer.setPassword(person.id, kept, { at: now(), who: person.name })
        await writer.endSessionsOf(person.id, now())
        return await writer.addSession(session.row)
      })
      session.give()
      return c.json(await view({ kind: 'person', ...person, session: id }), 201)
    })
    .put('/session/password', validated('json', passwordChange), async (c) => {
      const { present, password } = c.req.valid('json')
      const caller = requirePerson(c)
      await check(
        c,
        caller.name,
        present,
        await store.personNamed(caller.name),
        'This is not your present password.',
      )
      requireGood(password, caller.name)
      const kept = await hashPassword(password)
      await store.write(async (writer) => {
        await writer.setPassword(caller.id, kept, doingOf(c))
        await writer.endSessionsOf(caller.id, now(), caller.session)
      })
      return c.json(await own(store, caller))
    })
    .get('/sessions', async (c) => c.json(await own(store, requirePerson(c))))
    .delete('/sessions/:session{[0-9]+}', validated('param', sessionId), async (c) => {
      const { session } = c.req.valid('param')
      const caller = requirePerson(c)
      const whose = caller.role === 'administrator' ? undefined : caller.id
      if (!(await store.write((writer) => writer.endSession(session, doingOf(c), whose)))) {
        throw new ProblemError(404, {
          what: 'This session is over, or is not yours.',
          where: null,
          next: 'Look at the list of sessions anew.',
        })
      }
      return c.json(await own(store, caller))
    })
}

/** Sessions as the page lists them. */
export function browsersOf(sessions: readonly Session[], ownSession: number | null): SignedInBrowser[] {
  return sessions.map((session) => ({ ...session, own: session.id === ownSession }))
}

async function own(store: Store, { id, session }: SignedInPerson): Promise<SessionsView> {
  return { sessions: browsersOf(await sessionsOf(store, id), session) }
}

function requirePerson(c: Context): SignedInPerson {
  const caller = c.get('caller')
  if (caller.kind === 'person') return caller
  throw new ProblemError(409, {
    what: 'Nobody is on record yet, so that nobody has a password or a session.',
    where: null,
    next: 'Put the first administrator on record where the program runs: person add NAME --role administrator',
  })
}

function requireGood(password: string, name: string): void {
  const fault = passwordFault(password, name)
  if (fault !== null)
    throw new ProblemError(400, { what: fault, where: 'password', next: 'Choose another one.' })
}

function tooMany(c: Context, wait: number): ProblemError {
  c.header('Retry-After', String(wait))
  return new ProblemError(429, {
    what: `Too many wrong passwords: the next one is looked at in ${wait} s.`,
    where: null,
    next: 'Wait so long and try again, or ask an administrator for a link that sets a new password.',
  })
}

function deadLink(purpose: string, asked: string): ProblemError {
  return new ProblemError(410, {
    what: `This link would have ${purpose}, but it has expired, was used, or was taken back.`,
    where: null,
    next: `Ask ${asked} for a new one.`,
  })
}
