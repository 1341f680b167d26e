import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Caller } from '../../../server/access/caller.ts'
import { ROUTE_GROUPS, type RouteRule } from '../../../server/access/route-roles.ts'
import { createApp } from '../../../server/app.ts'
import { ROLES, type Role, SCOPES } from '../../../server/contract/access.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import type { Problem } from '../../../server/problem.ts'
import { openStore, type Store } from '../../../server/store/store.ts'

const RULES: readonly RouteRule[] = ROUTE_GROUPS.flatMap(({ routes }) => routes)

let folder: string
let store: Store
let intake: Intake
let app: ReturnType<typeof createApp>
let caller: Caller

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-'))
  store = await openStore({ file: ':memory:' })
  intake = createIntake({ store, dataFolder: folder })
  app = createApp({
    store,
    intake,
    sampleFolder: join(folder, 'none'),
    clientFolder: join(folder, 'none'),
    identify: async () => caller,
  })
})
afterAll(async () => {
  await intake.close()
  await store.close()
  rmSync(folder, { recursive: true })
})

/** Connections come from another machine. */
const ELSEWHERE = {
  incoming: { socket: { remoteAddress: '192.0.2.7', remotePort: 9, remoteFamily: 'IPv4' } },
}

/** A request to a route, with something in the place of every parameter; names nothing that is on record. */
async function call(route: string): Promise<Response> {
  const [method, path] = route.split(' ') as [string, string]
  const address = path.replace(/:(\w+)(\{[^}]*\})?\??/g, (_, name: string, pattern) =>
    name === 'report' ? '7' : pattern === undefined ? 'none' : '999',
  )
  const answer = await app.request(
    address,
    method === 'POST' || method === 'PUT'
      ? { method, body: '{}', headers: { 'Content-Type': 'application/json' } }
      : { method },
    ELSEWHERE,
  )
  // What is read of an event stream would never end.
  if (!(answer.headers.get('Content-Type') ?? '').startsWith('application/json')) await answer.body?.cancel()
  return answer
}

/** Methods and paths below /api that something answers, as the application has them registered. */
function routesOf(): Set<string> {
  const routes = new Set<string>()
  for (const { method, path, handler } of app.routes) {
    if (!path.startsWith('/api')) continue
    if (method !== 'ALL') routes.add(`${method} ${path}`)
    // Middleware takes the next step as its second argument; `all` would answer methods that no rule names.
    else if (handler.length < 2 && path !== '/api/*') routes.add(`ALL ${path}`)
  }
  return routes
}

describe('the table of routes and roles', () => {
  it('lists every route of the application, and no other', () => {
    const listed = RULES.map((rule) => rule.call).sort()
    expect([...routesOf()].sort()).toEqual(listed)
    expect(new Set(listed).size).toBe(listed.length)
  })

  it('lets the administrator do what anybody may', () => {
    for (const { call, roles } of RULES) expect(roles, call).toContain('administrator')
  })
})

const person = (role: Role): Caller => ({ kind: 'person', id: 999_999, name: 'Ada', role, session: 999_999 })
const guest = (report: number): Caller => ({
  kind: 'guest',
  report,
  session: 999_999,
  givenTo: 'Bea',
  expiresAt: 2_000_000_000,
})

const CALLERS: readonly (readonly [string, Caller, (rule: RouteRule) => boolean])[] = [
  ['nobody', { kind: 'nobody' }, () => false],
  ['the single user', { kind: 'single user' }, () => true],
  ['a guest of report 7', guest(7), (rule) => rule.guest === 'report'],
  ['a guest of report 8', guest(8), () => false],
  ...ROLES.map((role) => [role, person(role), (rule: RouteRule) => rule.roles.includes(role)] as const),
  ...SCOPES.map(
    (scope) =>
      [
        `a machine for “${scope}”`,
        { kind: 'machine', name: 'press', scopes: [scope] },
        (rule: RouteRule) => rule.scopes?.includes(scope) ?? false,
      ] as const,
  ),
]

describe.each(CALLERS)('%s', (_, who, allowed) => {
  it('is let through to what the table says, and refused everything else', async () => {
    caller = who
    for (const rule of RULES) {
      const answer = await call(rule.call)
      const refused = answer.status === 401 || answer.status === 403
      // A sign-in that names nobody is refused too, by the route itself.
      if (rule.open) continue
      expect(refused, `${rule.call}: ${answer.status}`).toBe(!allowed(rule))
      expect(answer.status, rule.call).toBeLessThan(500)
      if (!refused) continue
      expect(answer.status).toBe(who.kind === 'nobody' ? 401 : 403)
      const { error } = (await answer.json()) as { error: Problem }
      expect(error.what, rule.call).toMatch(/\w+ .*\.$/)
      expect(error.next).not.toBe('')
    }
  })
})

// Written out, so that a slip of the pen in the table shows.
describe.each([
  ['POST', '/api/part-numbers/A/1/characteristics/1/study', ['process engineer', 'administrator']],
  ['POST', '/api/part-numbers/A/1/characteristics/1/exclusions', ['process engineer', 'administrator']],
  ['POST', '/api/part-numbers/A/1/shrinkage/decisions', ['process engineer', 'administrator']],
  ['POST', '/api/part-numbers/A/1/findings', ['process engineer', 'administrator']],
  ['POST', '/api/part-numbers/A/1/report', ['process engineer', 'supplier quality', 'administrator']],
  ['POST', '/api/imports', ['inspector', 'process engineer', 'administrator']],
  ['POST', '/api/imports/3/withdraw', ['inspector', 'process engineer', 'administrator']],
  ['GET', '/api/part-numbers/A/1/drift', ROLES],
])('%s %s', (method, path, roles) => {
  it.each(ROLES)('of the %s', async (role) => {
    caller = person(role)
    const answer = await app.request(path, { method })
    expect(answer.status === 403).toBe(!(roles as readonly string[]).includes(role))
    await answer.body?.cancel()
  })
})

describe('a refusal', () => {
  it('says who may do it, and who asked', async () => {
    caller = person('inspector')
    const answer = await app.request('/api/part-numbers/A/1/findings', { method: 'POST' })
    expect(await answer.json()).toEqual({
      error: {
        what: 'This is for the process engineer and the administrator; you are signed in as inspector.',
        where: null,
        next: 'Ask one of them to do it, or an administrator to change your role.',
      },
    })
  })

  it('holds for HEAD as for GET', async () => {
    caller = { kind: 'nobody' }
    expect((await app.request('/api/shop', { method: 'HEAD' })).status).toBe(401)
  })

  it('meets a route that is not listed, whoever asks', async () => {
    caller = { kind: 'single user' }
    const grown = createApp({
      store,
      intake,
      sampleFolder: folder,
      clientFolder: folder,
      identify: async () => caller,
    })
    // Registered behind the answer that there is nothing; the guard sees it all the same.
    grown.get('/api/back-door', (c) => c.text('in'))
    const answer = await grown.request('/api/back-door')
    expect(answer.status).toBe(403)
    expect(await answer.text()).toContain('route-roles.ts')
  })
})
