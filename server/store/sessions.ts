import type { Kysely } from 'kysely'
import type { Role } from '../contract/access.ts'
import type { Doing } from './people.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** Whose a session is. */
export type SessionHolder =
  | { readonly kind: 'person'; readonly id: number; readonly name: string; readonly role: Role }
  | {
      readonly kind: 'guest'
      readonly link: number
      readonly report: number
      readonly givenTo: string
      /** When the link expires. */
      readonly expiresAt: number
    }

/** A browser that is signed in. Times are seconds since 1970-01-01 UTC. */
export interface Session {
  readonly id: number
  readonly startedAt: number
  /** When it was last used, to within some minutes. */
  readonly seenAt: number
  readonly expiresAt: number
  readonly address: string
  /** What the browser calls itself. */
  readonly browser: string
}

export interface SessionReads {
  /** The session in force with this hash, used since `seenSince`; null where there is none. */
  session(
    sha256: string,
    at: number,
    seenSince: number,
  ): Promise<(Session & { holder: SessionHolder }) | null>
  /** Sessions in force of a person, newest first. */
  sessionsOf(personId: number, at: number, seenSince: number): Promise<Session[]>
  /** Whether the person has signed in from this address before. */
  hasSignedInFrom(personId: number, address: string): Promise<boolean>
}

/** Whose a session is to be, by identity and by name. */
export type SessionOwner =
  | { readonly person: number; readonly name: string }
  | { readonly guestLink: number; readonly name: string }

export interface NewSession {
  readonly sha256: string
  readonly whose: SessionOwner
  readonly at: number
  readonly expiresAt: number
  readonly address: string
  readonly browser: string
}

/** Ways to come in. */
export type SignInWay = 'password' | 'password link' | 'guest link'

/** Somebody who was not let in. */
export interface FailedSignIn {
  readonly way: SignInWay
  /**
   * Whose name was given; null where nobody of that name is on record. What was typed then is not kept: it may be a
   * password in the wrong field.
   */
  readonly person: { readonly id: number; readonly name: string } | null
  readonly address: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

/** Many of them, counted from one moment to another. */
export interface FailedSignInsCounted {
  readonly failures: number
  /** Those that came too soon for their passwords to be looked at. */
  readonly tooSoon: number
  readonly from: number
  readonly at: number
  /** Some of the addresses that they came from. */
  readonly addresses: readonly string[]
  /** Identities of some of the people whose names were given. */
  readonly people: readonly number[]
}

export interface SessionWrites {
  addSession(session: NewSession): Promise<number>
  addFailedSignIn(failure: FailedSignIn): Promise<void>
  addFailedSignIns(counted: FailedSignInsCounted): Promise<void>
  /** Note that it was used; nobody's act. */
  seeSession(id: number, at: number): Promise<void>
  /** @param whose only if it is this person's */
  endSession(id: number, doing: Doing, whose?: number): Promise<boolean>
  /**
   * As part of an act that leaves an entry of its own.
   *
   * @param except the session that stays
   */
  endSessionsOf(personId: number, at: number, except?: number): Promise<void>
}

const OWN = ['id', 'started_at', 'seen_at', 'expires_at', 'address', 'browser'] as const

export function sessionReads(db: Kysely<Schema>): SessionReads {
  return {
    async session(sha256, at, seenSince) {
      const row = await db
        .selectFrom('session')
        .leftJoin('person', 'person.id', 'session.person_id')
        .leftJoin('guest_link', 'guest_link.id', 'session.guest_link_id')
        .select(OWN.map((column) => `session.${column}` as const))
        .select(['person.id as person_id', 'person.name', 'person.role', 'person.disabled_at'])
        .select(['guest_link.id as link', 'report_id', 'given_to', 'revoked_at'])
        .select('guest_link.expires_at as link_expires_at')
        .where('session.sha256', '=', sha256)
        .where('ended_at', 'is', null)
        .where('session.expires_at', '>', at)
        .where('seen_at', '>=', seenSince)
        .executeTakeFirst()
      if (row === undefined) return null
      if (row.person_id !== null && row.name !== null && row.role !== null) {
        if (row.disabled_at !== null) return null
        return {
          ...sessionOf(row),
          holder: { kind: 'person', id: row.person_id, name: row.name, role: row.role },
        }
      }
      if (row.link === null || row.report_id === null || row.given_to === null) return null
      if (row.revoked_at !== null || Number(row.link_expires_at) <= at) return null
      return {
        ...sessionOf(row),
        holder: {
          kind: 'guest',
          link: row.link,
          report: row.report_id,
          givenTo: row.given_to,
          expiresAt: Number(row.link_expires_at),
        },
      }
    },

    async sessionsOf(personId, at, seenSince) {
      const rows = await db
        .selectFrom('session')
        .select(OWN)
        .where('person_id', '=', personId)
        .where('ended_at', 'is', null)
        .where('expires_at', '>', at)
        .where('seen_at', '>=', seenSince)
        .orderBy('id', 'desc')
        .execute()
      return rows.map(sessionOf)
    },

    async hasSignedInFrom(personId, address) {
      const row = await db
        .selectFrom('session')
        .select('id')
        .where('person_id', '=', personId)
        .where('address', '=', address)
        .limit(1)
        .executeTakeFirst()
      return row !== undefined
    },
  }
}

export function sessionWrites(db: Kysely<Schema>, record: Recorder): SessionWrites {
  return {
    async addSession({ sha256, whose, at, expiresAt, address, browser }) {
      const last = await db
        .selectFrom('session')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(last?.id ?? 0) + 1
      await db
        .insertInto('session')
        .values({
          id,
          sha256,
          person_id: 'person' in whose ? whose.person : null,
          guest_link_id: 'guestLink' in whose ? whose.guestLink : null,
          started_at: at,
          seen_at: at,
          expires_at: expiresAt,
          ended_at: null,
          address,
          browser,
        })
        .execute()
      await record.append({
        kind: 'sign-in',
        at,
        who: whose.name,
        about: [
          { kind: 'session', id },
          'person' in whose
            ? { kind: 'person', id: whose.person }
            : { kind: 'guest-link', id: whose.guestLink },
        ],
        words: { address },
      })
      return id
    },

    async addFailedSignIn({ way, person, address, at }) {
      await record.append({
        kind: 'sign-in-failed',
        at,
        // Whoever it was is not known to be the one who was named.
        who: null,
        about: person === null ? [] : [{ kind: 'person', id: person.id }],
        details: { way },
        words: { name: person?.name ?? null, address },
      })
    },

    async addFailedSignIns({ failures, tooSoon, from, at, addresses, people }) {
      await record.append({
        kind: 'sign-in-failed',
        at,
        who: null,
        about: people.map((id) => ({ kind: 'person', id })),
        details: { failures, tooSoon, from },
        words: { addresses: addresses.join(', ') },
      })
    },

    async seeSession(id, at) {
      record.withoutEntry('that a session is used is nobody’s decision')
      await db.updateTable('session').set({ seen_at: at }).where('id', '=', id).execute()
    },

    async endSession(id, { at, who }, whose) {
      let query = db
        .updateTable('session')
        .set({ ended_at: at })
        .where('id', '=', id)
        .where('ended_at', 'is', null)
      if (whose !== undefined) query = query.where('person_id', '=', whose)
      if ((await query.executeTakeFirst()).numUpdatedRows !== 1n) return false
      await record.append({ kind: 'session-ended', at, who, about: [{ kind: 'session', id }] })
      return true
    },

    async endSessionsOf(personId, at, except) {
      let query = db
        .updateTable('session')
        .set({ ended_at: at })
        .where('person_id', '=', personId)
        .where('ended_at', 'is', null)
      if (except !== undefined) query = query.where('id', '<>', except)
      await query.execute()
    },
  }
}

function sessionOf(row: {
  id: number
  started_at: number
  seen_at: number
  expires_at: number
  address: string
  browser: string
}): Session {
  return {
    id: row.id,
    startedAt: Number(row.started_at),
    seenAt: Number(row.seen_at),
    expiresAt: Number(row.expires_at),
    address: row.address,
    browser: row.browser,
  }
}
