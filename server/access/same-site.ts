import type { MiddlewareHandler } from 'hono'
import { ProblemError } from '../problem.ts'
import type { Entrance } from './connection.ts'

/**
 * Answers under the names of the site only. A page from elsewhere whose own name is made to lead to this machine would
 * otherwise be taken by the browser for a page of the program, and could read everything.
 */
export function knownNames({ names }: Entrance): MiddlewareHandler {
  return async (c, next) => {
    if (names !== null && !names.has(hostName(c.req.header('host') ?? new URL(c.req.url).host))) {
      throw new ProblemError(421, {
        what: 'The program is not served under this name.',
        where: 'Host',
        next: 'Use the address that it prints when it starts, or start it with --site NAME.',
      })
    }
    await next()
  }
}

/** Refuses what a page of another site has a browser send. */
export function sameSite(): MiddlewareHandler {
  return async (c, next) => {
    const { method } = c.req
    const site = c.req.header('sec-fetch-site')
    // Following a link to a report is no harm: the one who follows it reads the answer, and no page does.
    const followed =
      (method === 'GET' || method === 'HEAD') &&
      c.req.header('sec-fetch-mode') === 'navigate' &&
      c.req.header('sec-fetch-dest') === 'document'
    const strange =
      site === undefined
        ? isStrange(c.req.header('origin'), c.req.header('host') ?? new URL(c.req.url).host)
        : site !== 'same-origin' && site !== 'none' && !followed
    if (strange) {
      throw new ProblemError(403, {
        what: 'A page of another site sent this.',
        where: 'Origin',
        next: 'Do it on a page of the program itself.',
      })
    }
    await next()
  }
}

/**
 * For browsers that do not say where a request comes from, and for connections over which they do not. Whatever is no
 * browser sends no origin.
 */
function isStrange(origin: string | undefined, host: string): boolean {
  if (origin === undefined) return false
  // The scheme does not count: a proxy may have taken the encryption off.
  return !URL.canParse(origin) || new URL(origin).host !== host.toLowerCase()
}

/** Without the port. */
function hostName(host: string): string {
  return host.toLowerCase().replace(/:\d*$/, '').replace(/\.$/, '')
}
