import { getConnInfo } from '@hono/node-server/conninfo'
import type { Context } from 'hono'
import { ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { tokenHash } from './tokens.ts'

/**
 * Who brings a file: the name of the token that came with the request; null for the person at this machine, who
 * needs none.
 *
 * @throws ProblemError 401 where the token is not in force, or where none came from another machine
 */
export async function bringerOf(c: Context, store: Store): Promise<string | null> {
  const authorization = c.req.header('Authorization')
  if (authorization === undefined) {
    if (isFromThisMachine(c)) return null
    throw unauthorised('Files brought from another machine need a token, and none came with the request.')
  }
  const token = /^Bearer +([\w.~+/-]+=*)$/i.exec(authorization.trim())?.[1]
  const name = token === undefined ? null : await store.tokenName(tokenHash(token))
  if (name === null) throw unauthorised('The token that came with the request is not in force.')
  return name
}

function unauthorised(what: string): ProblemError {
  return new ProblemError(401, {
    what,
    where: 'Authorization',
    next: 'Have a token made where the program runs (token add NAME), and send it as "Authorization: Bearer TOKEN".',
  })
}

/** True for loopback addresses, and where the request came from no network at all. */
function isFromThisMachine(c: Context): boolean {
  if (c.env === undefined || c.env === null || !('incoming' in c.env)) return true
  const address = getConnInfo(c).remote.address
  return address !== undefined && /^(::ffff:)?127\.|^::1$/.test(address)
}
