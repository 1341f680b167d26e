import { getConnInfo } from '@hono/node-server/conninfo'
import type { Context } from 'hono'
import { ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import type { Caller } from './caller.ts'
import { tokenHash } from './tokens.ts'

/**
 * Who sends a request: the machine whose token came with it, or the person at this machine, who needs none.
 *
 * @throws ProblemError 401 where the token is not in force
 */
export async function identify(c: Context, store: Store): Promise<Caller> {
  const authorization = c.req.header('Authorization')
  if (authorization === undefined) return { kind: isFromThisMachine(c) ? 'single user' : 'nobody' }
  const token = /^Bearer +([\w.~+/-]+=*)$/i.exec(authorization.trim())?.[1]
  const name = token === undefined ? null : await store.tokenName(tokenHash(token))
  if (name === null) {
    throw new ProblemError(401, {
      what: 'The token that came with the request is not in force.',
      where: 'Authorization',
      next: 'Have a token made where the program runs (token add NAME), and send it as "Authorization: Bearer TOKEN".',
    })
  }
  return { kind: 'machine', name, scopes: ['bring files'] }
}

/** True for loopback addresses, and where the request came from no network at all. */
function isFromThisMachine(c: Context): boolean {
  if (c.env === undefined || c.env === null || !('incoming' in c.env)) return true
  const address = getConnInfo(c).remote.address
  return address !== undefined && /^(::ffff:)?127\.|^::1$/.test(address)
}
