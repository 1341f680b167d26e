import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Caller } from '../../../server/access/caller.ts'
import { ROUTE_GROUPS } from '../../../server/access/route-roles.ts'
import type { Problem } from '../../../server/problem.ts'
import { quickPassword } from '../../tools/quick-password.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/**
 * Two people look at the same; one decides, and then the other, on the sight of what was. The second is refused, told
 * what the first did, and nothing of theirs is kept.
 */

interface Contest {
  /** What has to be there before both look. */
  readonly before?: () => Promise<unknown>
  /** What the first decides. */
  readonly first: readonly [path: string, body?: unknown]
  /** What the second decides on the same sight; as the first unless said otherwise. */
  readonly second?: readonly [path: string, body?: unknown]
}

const PART = '/api/part-numbers/HB-1/A'
const ROUTE = '/api/part-numbers/:number/:revision'
const OF = `${PART}/characteristics/1`
const reason = 'seen at the furnace'
const who = 'single user'

/** Writes that overwrite nothing: each adds something of its own, or changes nothing on record. */
const NEVER_STALE: Readonly<Record<string, string>> = {
  'POST /api/session': 'signs in',
  'DELETE /api/session': 'signs out',
  'POST /api/session/guest': 'opens a link',
  'POST /api/session/password-link': 'the link is good once',
  'PUT /api/session/password': 'asks for the password in force',
  'DELETE /api/sessions/:session{[0-9]+}': 'ends a session; ending it twice leaves it ended',
  'POST /api/people': 'adds a person; a name is given once',
  'POST /api/people/:person{[0-9]+}/password-link': 'adds a link; the one before is closed, as it says',
  'POST /api/tokens': 'adds a token; a name is given once',
  'POST /api/sample-shop': 'fills an empty database only',
  'POST /api/imports': 'adds an import; the same file is known',
  'POST /api/imports/jobs/:job/retry': 'reads one file again that nobody else has at hand',
  'DELETE /api/imports/jobs/:job': 'stops what is under way',
  [`POST ${ROUTE}/characteristics/:designator/study/preview`]: 'keeps nothing',
  [`POST ${ROUTE}/findings`]: 'adds a finding',
  [`POST ${ROUTE}/remarks`]: 'adds a remark',
  [`POST ${ROUTE}/shrinkage/settings/preview`]: 'keeps nothing',
  'POST /api/gauges/plans': 'adds a plan',
  [`POST ${ROUTE}/report`]: 'adds a report, which says what it was made of',
  'POST /api/reports/:report{[0-9]+}/file': 'makes a file',
  'POST /api/reports/:report{[0-9]+}/guest-links': 'adds a link',
  'POST /api/reports/verify': 'keeps nothing',
  'POST /api/record/erasures': 'what is gone already is not found',
  'POST /api/event-notices/trial': 'sends a trial',
  'POST /api/event-notices/deliveries/:delivery{[0-9]+}/again': 'sends once more',
}

let server: RunningServer
/** Who sends the requests. */
let name = 'Ines Quark'
beforeAll(async () => {
  server = await startServer({
    identify: async (): Promise<Caller> =>
      ({ kind: 'person', name, role: 'administrator', session: 1 }) as Caller,
  })
  const builds = Array.from({ length: 30 }, (_, i) => `b${String(i + 10)}`)
  const rows = builds.flatMap((build, i) =>
    [1, 2, 3].map(
      (part) => `HB-1,A,${build}-${part},${build},1,10,9,11,mm,X,${(10 + ((i * part) % 7) / 100).toFixed(2)}`,
    ),
  )
  const printed = builds.map(
    (build, i) => `${build},2026-05-${String((i % 28) + 1).padStart(2, '0')},1.18,1.18,1.2`,
  )
  await server.bring('builds.csv', `build,printed,scale x,scale y,scale z\n${printed.join('\n')}\n`)
  const receipt = await server.bring(
    'rows.csv',
    `part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,axis,value\n${rows.join('\n')}\n`,
  )
  expect(receipt.verdict).toBe('taken')
  await server.bring(
    'more.csv',
    'part_number,revision,serial,build,characteristic,value\nHB-1,A,later-1,b50,1,10.02\n',
  )
  await server.store.write(async (writer) => {
    const doing = { at: 1_790_000_000, who: null }
    const password = quickPassword('three kilns by the river')
    for (const each of ['Ada Root', 'Ines Quark', 'Emil Rau']) {
      await writer.addPerson({ name: each, role: 'administrator', password }, doing)
    }
    await writer.addToken('scales', 'a'.repeat(64), ['read'], doing.at, null)
  })
})
afterAll(() => server.stop())

async function send(method: string, [path, body]: readonly [string, unknown?]): Promise<Response> {
  return await fetch(server.url + path, {
    method,
    headers: body === undefined ? {} : { 'content-type': 'application/json' },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  })
}
const post = async (path: string, body: unknown) => {
  const answer = await send('POST', [path, body])
  expect(answer.status, await answer.clone().text()).toBeLessThan(300)
}

const remark = { build: 'b11', text: 'belt replaced', who }
const finding = {
  characteristics: ['1'],
  from: 'b11',
  to: 'b12',
  cause: 'new lot',
  action: 'none',
  state: 'open',
  verified: 'not yet',
  who,
}
const excluded = { build: 'b13', single: null, everyCharacteristic: false, who, reason }
const factors = { x: 1.181, y: 1.18, z: 1.2, firstBuild: 'b90', reason, who, last: null }

const ADJUSTMENT = {
  leastBuilds: 8,
  changeCost: 1,
  needlessCost: 1,
  largestStep: 0.01,
  newestWeight: null,
}
const gaugeEntry = {
  kind: 'micrometer',
  unit: 'mm',
  resolution: 0.001,
  certificate: null,
  due: null,
  characteristics: [],
  inUse: true,
  reason,
  who,
  version: 0,
}
const notices = { version: 0, recipients: [], webhook: null, partNumbers: null, quiet: null, who, reason }

const CONTESTS: Readonly<Record<string, Contest>> = {
  'PUT /api/people/:person{[0-9]+}/role': {
    first: ['/api/people/2/role', { role: 'inspector', seen: { role: 'administrator', disabledAt: null } }],
    second: [
      '/api/people/2/role',
      { role: 'supplier quality', seen: { role: 'administrator', disabledAt: null } },
    ],
  },
  'PUT /api/people/:person{[0-9]+}/disabled': {
    first: ['/api/people/3/disabled', { disabled: true, seen: { role: 'administrator', disabledAt: null } }],
  },
  'DELETE /api/tokens/:token': { first: ['/api/tokens/scales'] },
  'POST /api/imports/:id{[0-9]+}/withdraw': { first: ['/api/imports/3/withdraw', { who, reason }] },
  [`POST ${ROUTE}/characteristics/:designator/study`]: {
    first: [
      `${OF}/study?stage=sintered`,
      { version: 0, change: { kind: 'open-phase', build: 'b20' }, who, reason },
    ],
  },
  [`POST ${ROUTE}/characteristics/:designator/exclusions`]: {
    first: [`${OF}/exclusions?stage=sintered`, excluded],
  },
  [`POST ${ROUTE}/exclusions/taken-back`]: {
    before: () => post(`${OF}/exclusions?stage=sintered`, { ...excluded, build: 'b14' }),
    first: [`${PART}/exclusions/taken-back?stage=sintered`, { exclusions: [2], who, reason }],
  },
  [`POST ${ROUTE}/findings/:decision{[0-9]+}`]: {
    before: () => post(`${PART}/findings?stage=sintered`, finding),
    first: [`${PART}/findings/1?stage=sintered`, { ...finding, state: 'done', revision: 1 }],
  },
  [`POST ${ROUTE}/remarks/:decision{[0-9]+}`]: {
    before: () => post(`${PART}/remarks?stage=sintered`, remark),
    first: [`${PART}/remarks/1?stage=sintered`, { revision: 1, text: 'belt tightened', who }],
  },
  [`POST ${ROUTE}/requirements`]: {
    first: [
      `${PART}/requirements`,
      {
        version: 0,
        fallback: { index: 'Ppk', value: 1.5, confidence: 0.95 },
        classes: [],
        assigned: [],
        who,
        reason,
      },
    ],
  },
  [`POST ${ROUTE}/shrinkage/decisions`]: { first: [`${PART}/shrinkage/decisions`, factors] },
  [`POST ${ROUTE}/shrinkage/decisions/:decision{[0-9]+}/taken-back`]: {
    first: [`${PART}/shrinkage/decisions/1/taken-back`, { reason, who }],
  },
  [`POST ${ROUTE}/shrinkage/settings`]: {
    first: [`${PART}/shrinkage/settings`, { version: 0, adjustment: ADJUSTMENT, told: [], reason, who }],
  },
  'POST /api/gauges/register/:gauge': { first: ['/api/gauges/register/CMM-1', gaugeEntry] },
  'DELETE /api/reports/:report{[0-9]+}/guest-links/:link{[0-9]+}': {
    before: async () => {
      await post(`${PART}/report`, { who })
      await post('/api/reports/1/guest-links', { givenTo: 'a customer', days: 3, who })
    },
    first: ['/api/reports/1/guest-links/1'],
  },
  'POST /api/event-notices/settings': { first: ['/api/event-notices/settings', notices] },
}

const writes = ROUTE_GROUPS.flatMap(({ routes }) => routes.map(({ call }) => call)).filter(
  (call) => !call.startsWith('GET '),
)

describe('a decision made on stale sight', () => {
  it('is thought of for every route that writes', () => {
    const known = [...Object.keys(NEVER_STALE), ...Object.keys(CONTESTS)].sort()
    expect(known).toEqual([...writes].sort())
  })

  it.each(Object.entries(CONTESTS))(
    '%s: is refused with what the other did, and nothing is kept',
    async (call, contest) => {
      const method = call.split(' ')[0] as string
      name = 'Ines Quark'
      await contest.before?.()
      const first = await send(method, contest.first)
      expect(first.status, await first.clone().text()).toBeLessThan(300)
      await first.arrayBuffer()
      const head = await server.store.recordHead()
      name = 'Emil Rau'
      const second = await send(method, contest.second ?? contest.first)
      const text = await second.text()
      expect(second.status, text).toBe(409)
      const { error } = JSON.parse(text) as { error: Problem }
      expect(error.what).toMatch(/^Meanwhile, \d{4}-\d\d-\d\d \d\d:\d\d UTC, Ines Quark /)
      expect(error.next).toMatch(/not kept/)
      expect(await server.store.recordHead()).toEqual(head)
    },
  )
})
