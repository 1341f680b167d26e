import type { Role, Scope } from '../contract/access.ts'

/**
 * The table of routes and roles: every route below /api, what it does, and who may call it. The guard (guard.ts)
 * refuses whatever is not listed here, to everybody; a test (tests/server/access/route-roles.test.ts) walks all routes of
 * the application and fails where one is missing, and where one is listed that is not there.
 *
 * To add a route, add one line to its group:
 *
 *     { call: 'POST /api/part-numbers/:number/:revision/remarks', does: 'Writes a remark on a build', roles: EVERY_ROLE },
 *
 * - `call` is method and path as the application registers them, patterns in braces included.
 * - `does` is one short phrase; it stands in the description of the interface (/api/openapi.json).
 * - `roles` are the roles of people; the administrator belongs to every list (use the lists below).
 * - `scopes` are those of a machine's token, any one of which will do; without it no machine may call.
 * - `guest: 'report'` opens it to a guest whose link is to the report that the parameter `:report` names.
 * - `open: true` needs no sign-in at all: for signing in, and for whether the server is alive.
 * - `here: true` needs none at the machine itself, and no proxy between.
 * - `body: 'a file'` lets the route bound its body by itself; any other is 16 MiB and 30 s at most (bodies.ts).
 *
 * - `answers` is the media type of the answer where it is not JSON.
 *
 * The single user on loopback, where nobody is on record, may call everything that is listed.
 * A route that takes a name for the record gets it from signerOf (signer.ts), never from the body alone.
 * Schemas are checked by `validated` (server/routes/validated.ts), which puts them into the description too.
 */
export interface RouteRule {
  readonly call: `${'GET' | 'POST' | 'PUT' | 'DELETE'} /api/${string}`
  readonly does: string
  readonly roles: readonly Role[]
  readonly scopes?: readonly Scope[]
  readonly guest?: 'report'
  readonly open?: true
  readonly here?: true
  readonly body?: 'a file'
  readonly answers?: string
}

interface RouteGroup {
  readonly group: string
  readonly routes: readonly RouteRule[]
}

const EVERY_ROLE: readonly Role[] = ['inspector', 'process engineer', 'supplier quality', 'administrator']
/** Who brings files, and takes them back. */
const BRINGERS: readonly Role[] = ['inspector', 'process engineer', 'administrator']
/** Who decides about the process and what its figures rest on. */
const DECIDERS: readonly Role[] = ['process engineer', 'administrator']
/** Who lets people and machines in. */
const ADMINISTRATOR: readonly Role[] = ['administrator']
/** Who makes reports for customers. */
const REPORTERS: readonly Role[] = ['process engineer', 'supplier quality', 'administrator']

const READ: readonly Scope[] = ['read']
const BRING: readonly Scope[] = ['bring files']
const REPORT: readonly Scope[] = ['make reports']

const PART = '/api/part-numbers/:number/:revision'
const CHARACTERISTIC = `${PART}/characteristics/:designator` as const

const TABLE = [
  {
    group: 'Signing in',
    routes: [
      {
        call: 'GET /api/session',
        does: 'Read who is signed in, and what they may do',
        roles: EVERY_ROLE,
        open: true,
      },
      { call: 'POST /api/session', does: 'Sign in', roles: EVERY_ROLE, open: true },
      { call: 'DELETE /api/session', does: 'Sign out', roles: EVERY_ROLE, open: true },
      {
        call: 'POST /api/session/guest',
        does: 'Open a report by a guest’s link',
        roles: EVERY_ROLE,
        open: true,
      },
      {
        call: 'POST /api/session/password-link',
        does: 'Choose a password by a link',
        roles: EVERY_ROLE,
        open: true,
      },
      { call: 'PUT /api/session/password', does: 'Change one’s password', roles: EVERY_ROLE },
      { call: 'GET /api/sessions', does: 'List where one is signed in', roles: EVERY_ROLE },
      {
        call: 'DELETE /api/sessions/:session{[0-9]+}',
        does: 'End a session: one’s own, or anybody’s for the administrator',
        roles: EVERY_ROLE,
      },
    ],
  },
  {
    group: 'People and tokens',
    routes: [
      { call: 'GET /api/people', does: 'List people', roles: ADMINISTRATOR },
      { call: 'POST /api/people', does: 'Put a person on record', roles: ADMINISTRATOR },
      {
        call: 'POST /api/people/:person{[0-9]+}/password-link',
        does: 'Make a link by which a person chooses a password',
        roles: ADMINISTRATOR,
      },
      {
        call: 'PUT /api/people/:person{[0-9]+}/role',
        does: 'Change the role of a person',
        roles: ADMINISTRATOR,
      },
      {
        call: 'PUT /api/people/:person{[0-9]+}/disabled',
        does: 'Keep a person from signing in, or let them again',
        roles: ADMINISTRATOR,
      },
      { call: 'GET /api/tokens', does: 'List tokens of machines', roles: ADMINISTRATOR },
      { call: 'POST /api/tokens', does: 'Make a token', roles: ADMINISTRATOR },
      { call: 'DELETE /api/tokens/:token', does: 'Revoke a token', roles: ADMINISTRATOR },
    ],
  },
  {
    group: 'Shop',
    routes: [
      {
        call: 'GET /api/shop',
        does: 'List part numbers',
        roles: EVERY_ROLE,
        scopes: ['read', 'bring files', 'make reports'],
      },
      {
        call: 'GET /api/shop/news',
        does: 'Read what moved, of every part number',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: 'POST /api/sample-shop', does: 'Take in the sample shop', roles: ADMINISTRATOR },
      {
        call: 'GET /api/notices',
        does: 'Be told of every change',
        roles: EVERY_ROLE,
        scopes: READ,
        answers: 'text/event-stream',
      },
    ],
  },
  {
    group: 'Imports',
    routes: [
      { call: 'POST /api/imports', does: 'Bring a file', roles: BRINGERS, scopes: BRING, body: 'a file' },
      { call: 'GET /api/imports', does: 'List imports', roles: EVERY_ROLE, scopes: ['read', 'bring files'] },
      {
        call: 'GET /api/imports/:id{[0-9]+}',
        does: 'Read a receipt',
        roles: EVERY_ROLE,
        scopes: ['read', 'bring files'],
      },
      {
        call: 'GET /api/imports/:id{[0-9]+}/file',
        does: 'Get the file as it was brought',
        answers: 'application/octet-stream',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: 'GET /api/imports/:id{[0-9]+}/lines/:line',
        does: 'Read a row of the file as it was brought, with those around it',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: 'POST /api/imports/:id{[0-9]+}/withdraw',
        does: 'Take an import out again',
        roles: BRINGERS,
        scopes: BRING,
      },
      {
        call: 'GET /api/imports/jobs/:job',
        does: 'Read how far a file has come',
        roles: BRINGERS,
        scopes: BRING,
      },
      {
        call: 'GET /api/imports/jobs/:job/lines/:line',
        does: 'Read a row of a file that is not taken in yet, with those around it',
        roles: BRINGERS,
        scopes: BRING,
      },
      {
        call: 'GET /api/imports/jobs/:job/progress',
        does: 'Follow how far a file has come',
        answers: 'text/event-stream',
        roles: BRINGERS,
        scopes: BRING,
      },
      {
        call: 'POST /api/imports/jobs/:job/retry',
        does: 'Read a file again with other choices',
        roles: BRINGERS,
        scopes: BRING,
      },
      {
        call: 'DELETE /api/imports/jobs/:job',
        does: 'Stop taking a file in',
        roles: BRINGERS,
        scopes: BRING,
      },
    ],
  },
  {
    group: 'Charts and figures',
    routes: [
      {
        call: `GET ${PART}/characteristics`,
        does: 'List characteristics',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${PART}/drift`,
        does: 'Overview of all characteristics',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: 'GET /api/parts', does: 'Find a part by its serial number', roles: EVERY_ROLE, scopes: READ },
      {
        call: `GET ${PART}/parts-of-build/:build`,
        does: 'Read whether each part of a build conforms',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${PART}/parts/:serial`,
        does: 'Read everything on record of one part',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${PART}/events`,
        does: 'List changes that began together',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${PART}/together`,
        does: 'Chart all characteristics as one',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: `GET ${PART}/capability`, does: 'Summarise capability', roles: EVERY_ROLE, scopes: READ },
      { call: `GET ${PART}/typing`, does: 'Read what typed values are checked against', roles: EVERY_ROLE },
      {
        call: `GET ${PART}/typing/part`,
        does: 'Read what is on record of a part whose values are being typed',
        roles: EVERY_ROLE,
      },
      {
        call: `GET ${CHARACTERISTIC}/ground`,
        does: 'Read what a chart is made from',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/capability`,
        does: 'Read what one characteristic can hold, and what this rests on',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/index-course`,
        does: 'Follow the index of one characteristic over a running window of builds',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/what-if`,
        does: 'Work out what one characteristic would hold under a supposition',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/chart`,
        does: 'Chart a characteristic',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/builds/:build`,
        does: 'List the values of a build',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/builds/:build/source`,
        does: 'Read the cell of the file that a value came from, with the rows around it',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${CHARACTERISTIC}/places`,
        does: 'Compare places in bed and furnace',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: `GET ${PART}/shrinkage`, does: 'Fit the shrinkage', roles: EVERY_ROLE, scopes: READ },
      {
        call: `GET ${PART}/shrinkage/prediction`,
        does: 'Predict what other scale factors do',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `GET ${PART}/shrinkage/shares`,
        does: 'Split the variance of shrinkage',
        roles: EVERY_ROLE,
        scopes: READ,
      },
    ],
  },
  {
    group: 'Decisions',
    routes: [
      { call: `GET ${CHARACTERISTIC}/study`, does: 'Read a study', roles: EVERY_ROLE, scopes: READ },
      {
        call: `POST ${CHARACTERISTIC}/study/preview`,
        does: 'Try a change of a study, keeping nothing',
        roles: EVERY_ROLE,
      },
      { call: `POST ${CHARACTERISTIC}/study`, does: 'Change a study', roles: DECIDERS },
      { call: `GET ${PART}/exclusions`, does: 'List what is left out', roles: EVERY_ROLE, scopes: READ },
      { call: `POST ${CHARACTERISTIC}/exclusions`, does: 'Leave a value or a build out', roles: DECIDERS },
      {
        call: `POST ${PART}/exclusions/taken-back`,
        does: 'Take back into the figures what was left out',
        roles: DECIDERS,
      },
      { call: `GET ${PART}/findings`, does: 'List findings', roles: EVERY_ROLE, scopes: READ },
      { call: `POST ${PART}/findings`, does: 'Write a finding', roles: DECIDERS },
      { call: `POST ${PART}/findings/:decision{[0-9]+}`, does: 'Revise a finding', roles: DECIDERS },
      { call: `GET ${PART}/remarks`, does: 'List remarks', roles: EVERY_ROLE, scopes: READ },
      { call: `POST ${PART}/remarks`, does: 'Write a remark on a build', roles: EVERY_ROLE },
      {
        call: `POST ${PART}/remarks/:decision{[0-9]+}`,
        does: 'Revise or take back a remark',
        roles: EVERY_ROLE,
      },
      {
        call: `GET ${PART}/requirements`,
        does: 'Read what the customer asks',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: `POST ${PART}/requirements`,
        does: 'Decide what the customer asks of each class',
        roles: REPORTERS,
      },
      { call: `POST ${PART}/shrinkage/decisions`, does: 'Decide on scale factors', roles: DECIDERS },
      {
        call: `POST ${PART}/shrinkage/decisions/:decision{[0-9]+}/taken-back`,
        does: 'Take back scale factors that no build is printed with',
        roles: DECIDERS,
      },
      {
        call: `POST ${PART}/shrinkage/settings/preview`,
        does: 'Try other settings of shrinkage, keeping nothing',
        roles: EVERY_ROLE,
      },
      {
        call: `POST ${PART}/shrinkage/settings`,
        does: 'Change how shrinkage is fitted and advised',
        roles: DECIDERS,
      },
    ],
  },
  {
    group: 'Gauges',
    routes: [
      { call: 'GET /api/gauges', does: 'List gauges, studies and plans', roles: EVERY_ROLE, scopes: READ },
      {
        call: 'GET /api/gauges/choices',
        does: 'List what a plan can be about',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: 'GET /api/gauges/register/:gauge',
        does: 'Read what is said of a gauge',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: 'POST /api/gauges/register/:gauge', does: 'Say something of a gauge', roles: BRINGERS },
      {
        call: 'GET /api/gauges/studies/:study{[0-9]+}',
        does: 'Read a gauge study',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: 'POST /api/gauges/plans', does: 'Plan a gauge study', roles: BRINGERS },
      { call: 'GET /api/gauges/plans/:plan{[0-9]+}', does: 'Read a plan', roles: EVERY_ROLE, scopes: READ },
      {
        call: 'GET /api/gauges/plans/:plan{[0-9]+}/sheet',
        does: 'Get the measuring sheet of a plan',
        answers: 'text/csv',
        roles: EVERY_ROLE,
        scopes: READ,
      },
    ],
  },
  {
    group: 'Record',
    routes: [
      { call: 'GET /api/record', does: 'List entries of the record', roles: EVERY_ROLE, scopes: READ },
      {
        call: 'GET /api/record/people',
        does: 'List who is named in the record',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      {
        call: 'GET /api/record/verification',
        does: 'Tell whether the record is as it was written',
        roles: EVERY_ROLE,
        scopes: READ,
      },
      { call: 'POST /api/record/erasures', does: 'Erase what must go', roles: ADMINISTRATOR },
      { call: 'GET /api/record/file', does: 'Get the record as a file', roles: EVERY_ROLE, scopes: READ },
      {
        call: 'GET /api/reports/:report{[0-9]+}/record',
        does: 'List the entries that shaped a report',
        roles: EVERY_ROLE,
        scopes: READ,
      },
    ],
  },
  {
    group: 'Reports',
    routes: [
      {
        call: `GET ${PART}/report`,
        does: 'Make a report for a look, keeping nothing',
        answers: '*/*',
        roles: EVERY_ROLE,
        scopes: ['read', 'make reports'],
      },
      { call: `POST ${PART}/report`, does: 'Make a report', roles: REPORTERS, scopes: REPORT },
      { call: 'GET /api/reports', does: 'List reports', roles: EVERY_ROLE, scopes: ['read', 'make reports'] },
      {
        call: 'GET /api/reports/:report{[0-9]+}/file',
        does: 'Get a report as a file',
        answers: '*/*',
        roles: EVERY_ROLE,
        scopes: ['read', 'make reports'],
        guest: 'report',
      },
      {
        call: 'POST /api/reports/:report{[0-9]+}/file',
        does: 'Get a report as a file with a logo in its head',
        answers: '*/*',
        roles: REPORTERS,
        scopes: REPORT,
        body: 'a file',
      },
      {
        call: 'GET /api/reports/:report{[0-9]+}/verify',
        does: 'Tell whether a report still follows from the data',
        roles: EVERY_ROLE,
        scopes: ['read', 'make reports'],
        guest: 'report',
      },
      {
        call: 'GET /api/reports/:report{[0-9]+}/guest-links',
        does: 'List the links that open a report to guests',
        roles: REPORTERS,
      },
      {
        call: 'POST /api/reports/:report{[0-9]+}/guest-links',
        does: 'Make a link that opens a report to a guest',
        roles: REPORTERS,
      },
      {
        call: 'DELETE /api/reports/:report{[0-9]+}/guest-links/:link{[0-9]+}',
        does: 'Take back a guest’s link',
        roles: REPORTERS,
      },
      {
        call: 'POST /api/reports/verify',
        does: 'Tell whether a file is a report made here, and still follows',
        roles: EVERY_ROLE,
        scopes: ['read', 'make reports'],
        body: 'a file',
      },
    ],
  },
  {
    group: 'Notices of new events',
    routes: [
      {
        call: 'GET /api/event-notices',
        does: 'Read who gets notices, and what was sent',
        roles: DECIDERS,
      },
      { call: 'POST /api/event-notices/settings', does: 'Decide who gets notices', roles: DECIDERS },
      { call: 'POST /api/event-notices/trial', does: 'Send a trial notice', roles: DECIDERS },
      {
        call: 'POST /api/event-notices/deliveries/:delivery{[0-9]+}/again',
        does: 'Try again to send a notice that was given up',
        roles: DECIDERS,
      },
    ],
  },
  {
    group: 'How the server is doing',
    routes: [
      { call: 'GET /api/openapi.json', does: 'Read this description', roles: EVERY_ROLE, open: true },
      { call: 'GET /api/health', does: 'Tell that the server is alive', roles: EVERY_ROLE, open: true },
      {
        call: 'GET /api/ready',
        does: 'Tell whether requests are to be sent here',
        roles: EVERY_ROLE,
        open: true,
      },
      {
        call: 'GET /api/metrics',
        does: 'Read what is measured of the server, in the Prometheus text format',
        answers: 'text/plain',
        roles: ADMINISTRATOR,
        scopes: ['read metrics'],
        here: true,
      },
    ],
  },
] as const satisfies readonly RouteGroup[]

export const ROUTE_GROUPS: readonly RouteGroup[] = TABLE

/** Method and path of a route that is listed. */
export type RouteCall = (typeof TABLE)[number]['routes'][number]['call']

const RULES: ReadonlyMap<string, RouteRule> = new Map(
  ROUTE_GROUPS.flatMap(({ routes }) => routes.map((rule) => [rule.call, rule])),
)

/** The rule for a route as the application registers it; null where it is not listed. */
export function ruleFor(method: string, path: string): RouteRule | null {
  return RULES.get(`${method} ${path}`) ?? null
}
