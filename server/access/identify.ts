import type { Context } from 'hono'
import { ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import type { Caller } from './caller.ts'
import { type Entrance, isFromThisMachine } from './connection.ts'
import { secretHash } from './secrets.ts'
import { sessionOf } from './sessions.ts'

/**
 * Who sends a request: the machine whose token came with it; the person or the guest whose session it belongs to; the
 * single user at this machine where nobody is on record; nobody otherwise.
 *
 * @throws ProblemError 401 where a token came that is not in force
 */
export async function identify(c: Context, store: Store, entrance: Entrance): Promise<Caller> {
  const authorization = c.req.header('Authorization')
  if (authorization !== undefined) return await machineOf(authorization, store)
  const session = await sessionOf(c, store, entrance)
  if (session !== null) {
    const { holder } = session
    return holder.kind === 'person'
      ? { kind: 'person', id: holder.id, name: holder.name, role: holder.role, session: session.id }
      : {
          kind: 'guest',
          report: holder.report,
          session: session.id,
          givenTo: holder.givenTo,
          expiresAt: holder.expiresAt,
        }
  }
  // Asked last: whoever comes from elsewhere has no need of the answer.
  if (isFromThisMachine(c) && !(await store.hasPeople())) return { kind: 'single user' }
  return { kind: 'nobody' }
}

async function machineOf(authorization: string, store: Store): Promise<Caller> {
  const token = /^Bearer +([\w.~+/-]+=*)$/i.exec(authorization.trim())?.[1]
  const machine = token === undefined ? null : await store.token(secretHash(token))
  if (machine === null) {
    throw new ProblemError(401, {
      what: 'The token that came with the request is not in force.',
      where: 'Authorization',
      next: 'Have a token made on the page Tokens, or where the program runs (token add NAME), and send it as "Authorization: Bearer TOKEN".',
    })
  }
  return { kind: 'machine', ...machine }
}
