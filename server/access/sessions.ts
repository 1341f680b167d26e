import type { Context } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import { now } from '../clock.ts'
import type { NewSession, Session, SessionHolder, SessionOwner } from '../store/sessions.ts'
import type { Store } from '../store/store.ts'
import { addressOf, type Entrance, isSecure } from './connection.ts'
import { newSecret, secretHash } from './secrets.ts'

const HOUR = 3600
/** Seconds without a request until a session ends: a shift. */
const IDLE = 8 * HOUR
/** Seconds until a session ends however much it is used. */
const LONGEST = 7 * 24 * HOUR
/** The same for guests. */
const LONGEST_OF_GUESTS = 24 * HOUR
/** Seconds between two notes of when a session was last used: every one is a write. */
const NOTED_EVERY = 600
const LONGEST_BROWSER = 300

/** The prefix has browsers keep it to this host and to encrypted connections. */
function cookieName(c: Context, entrance: Entrance): string {
  return isSecure(c, entrance) ? '__Host-as-sintered' : 'as-sintered'
}

/** The session in force that the request's cookie names; null where there is none. */
export async function sessionOf(
  c: Context,
  store: Store,
  entrance: Entrance,
): Promise<(Session & { readonly holder: SessionHolder }) | null> {
  const secret = getCookie(c, cookieName(c, entrance))
  if (secret === undefined || secret.length > 200) return null
  const at = now()
  const session = await store.session(secretHash(secret), at, at - IDLE)
  if (session !== null && at - session.seenAt > NOTED_EVERY) noteUse(store, session.id, at)
  return session
}

/** Sessions whose use is being noted: requests come by the dozen. */
const noting = new Set<number>()

/** Not waited for: while a large file is taken in, a write may have to wait, and nobody should for this one. */
function noteUse(store: Store, id: number, at: number): void {
  if (noting.has(id)) return
  noting.add(id)
  store
    .write((writer) => writer.seeSession(id, at))
    .catch(() => undefined)
    .finally(() => noting.delete(id))
}

/** Sessions in force of a person. */
export async function sessionsOf(store: Store, personId: number): Promise<Session[]> {
  const at = now()
  return await store.sessionsOf(personId, at, at - IDLE)
}

/** A session about to begin. */
export interface BegunSession {
  /** To be added to the store. */
  readonly row: NewSession
  /** Give its cookie to the browser, once it is in the store. */
  give(): void
}

/** @param until seconds since 1970-01-01 UTC at which a guest's link expires */
export function newSession(
  c: Context,
  entrance: Entrance,
  whose: SessionOwner,
  until = Number.POSITIVE_INFINITY,
): BegunSession {
  const secret = newSecret()
  const at = now()
  const expiresAt = Math.min(until, at + ('guestLink' in whose ? LONGEST_OF_GUESTS : LONGEST))
  return {
    row: {
      sha256: secretHash(secret),
      whose,
      at,
      expiresAt,
      address: addressOf(c, entrance),
      browser: (c.req.header('user-agent') ?? '').slice(0, LONGEST_BROWSER).replace(/\p{Cc}/gu, ' '),
    },
    give() {
      setCookie(c, cookieName(c, entrance), secret, {
        httpOnly: true,
        sameSite: 'Strict',
        secure: isSecure(c, entrance),
        path: '/',
        maxAge: expiresAt - at,
      })
    },
  }
}

/** Have the browser forget its session. */
export function forgetSession(c: Context, entrance: Entrance): void {
  deleteCookie(c, cookieName(c, entrance), { path: '/', secure: isSecure(c, entrance) })
}
