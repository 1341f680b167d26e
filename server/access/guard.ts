import type { Context, MiddlewareHandler } from 'hono'
import { matchedRoutes } from 'hono/route'
import type { Role } from '../contract/access.ts'
import { ProblemError } from '../problem.ts'
import type { Caller } from './caller.ts'
import { isFromThisMachine } from './connection.ts'
import { isAllowed } from './rights.ts'
import { type RouteRule, ruleFor } from './route-roles.ts'

/**
 * Lets a request through to its route where the table of routes and roles does. Every route that the address matches
 * must let it through, so that none is reached by way of another.
 *
 * @param identify who sends the request
 */
export function guard(identify: (c: Context) => Promise<Caller>): MiddlewareHandler {
  return async (c, next) => {
    const caller = await identify(c)
    c.set('caller', caller)
    for (const { method, path } of matchedRoutes(c)) {
      // Middleware, the answer that there is nothing, and the pages.
      if (method === 'ALL' || !path.startsWith('/api')) continue
      const rule = ruleFor(method, path)
      if (rule === null) throw unlisted(method, path)
      if (rule.here && isFromThisMachine(c)) continue
      const elsewhere = caller.kind === 'guest' && !rule.open && reportIn(c) !== caller.report
      if (elsewhere || !isAllowed(rule, caller)) throw refusal(rule, caller)
    }
    await next()
  }
}

/** Number of the report that the address names. The guard runs before parameters are bound to the route. */
function reportIn(c: Context): number | null {
  const number = /^\/api\/reports\/([0-9]{1,10})(?:\/|$)/.exec(c.req.path)?.[1]
  return number === undefined ? null : Number(number)
}

function refusal(rule: RouteRule, caller: Caller): ProblemError {
  switch (caller.kind) {
    case 'nobody':
      return new ProblemError(401, {
        what: 'You are not signed in, and this is not open to everybody.',
        where: null,
        next: 'Sign in. A machine sends its token as "Authorization: Bearer TOKEN".',
      })
    case 'guest':
      return new ProblemError(403, {
        what: 'The link that you were given opens one report only.',
        where: null,
        next: 'Ask whoever gave it to you for what else you need.',
      })
    case 'machine': {
      const scopes = rule.scopes ?? []
      return new ProblemError(403, {
        what:
          scopes.length === 0
            ? 'This is for people: no machine may do it.'
            : `The token ${caller.name} is not good for this: it takes one for “${scopes.join('” or “')}”.`,
        where: 'Authorization',
        next: 'Have an administrator make a token for it.',
      })
    }
    default:
      return new ProblemError(403, {
        what: `This is for ${rolesInWords(rule.roles)}${caller.kind === 'person' ? `; you are signed in as ${caller.role}` : ''}.`,
        where: null,
        next: 'Ask one of them to do it, or an administrator to change your role.',
      })
  }
}

/** "the process engineer and the administrator". */
function rolesInWords(roles: readonly Role[]): string {
  const names = roles.map((role) => (role === 'supplier quality' ? role : `the ${role}`))
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}

function unlisted(method: string, path: string): ProblemError {
  return new ProblemError(403, {
    what: 'This address is open to nobody.',
    where: `${method} ${path}`,
    next: 'Whoever added it has to say who may call it, in server/access/route-roles.ts.',
  })
}
