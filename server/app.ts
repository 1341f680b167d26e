import { serveStatic } from '@hono/node-server/serve-static'
import { type Context, Hono } from 'hono'
import { compress } from 'hono/compress'
import type { Logger } from 'pino'
import { boundedBodies } from './access/bodies.ts'
import type { Caller } from './access/caller.ts'
import { type Entrance, OPEN_ENTRANCE } from './access/connection.ts'
import { guard } from './access/guard.ts'
import { identify as identifyCaller } from './access/identify.ts'
import { knownNames, sameSite } from './access/same-site.ts'
import { securityHeadings } from './access/security-headings.ts'
import type { OpenApiDocument } from './contract/openapi.ts'
import type { Sending } from './event-notices/send.ts'
import type { Intake } from './intake/jobs.ts'
import { createLog, requestLog } from './log.ts'
import { createMetrics } from './metrics.ts'
import { openApiDocument } from './openapi.ts'
import { answerError, answerNotFound } from './problem.ts'
import { recordVersion, VERSION_HEADING } from './record-version.ts'
import { aboutRoutes } from './routes/about.ts'
import { decisionRoutes } from './routes/decisions.ts'
import { eventNoticeRoutes } from './routes/event-notices.ts'
import { gaugeRoutes } from './routes/gauges.ts'
import { guestLinkRoutes } from './routes/guest-links.ts'
import { healthRoutes } from './routes/health.ts'
import { importRoutes } from './routes/imports.ts'
import { noticeRoutes } from './routes/notices.ts'
import { partNumberRoutes } from './routes/part-numbers.ts'
import { findingParts, partRoutes } from './routes/parts.ts'
import { peopleRoutes } from './routes/people.ts'
import { recordRoutes } from './routes/record.ts'
import { reportRecordRoutes, reportRoutes } from './routes/reports.ts'
import { requirementRoutes } from './routes/requirements.ts'
import { sessionRoutes } from './routes/sessions.ts'
import { shopRoutes } from './routes/shop.ts'
import { shrinkageRoutes } from './routes/shrinkage.ts'
import { studyRoutes } from './routes/studies.ts'
import { tokenRoutes } from './routes/tokens.ts'
import { typingRoutes } from './routes/typing.ts'
import type { Store } from './store/store.ts'

/** What the application works with. */
export interface AppParts {
  readonly store: Store
  readonly intake: Intake
  /** Folder of the sample shop's files. */
  readonly sampleFolder: string
  /** Folder of the built client. */
  readonly clientFolder: string
  /** Where it is written down what was asked; nowhere where it is not given. */
  readonly log?: Logger
  /** What stands between browsers and the server; nothing where it is not given. */
  readonly entrance?: Entrance
  /** How notices leave the server; without a mail server where it is not given. */
  readonly sending?: Sending
  /** Who sends a request; found from its token and its address where it is not given. */
  readonly identify?: (c: Context) => Promise<Caller>
}

/**
 * The whole HTTP application: the interface below /api, the client everywhere else.
 *
 * @example
 * const app = createApp({ store, intake, sampleFolder, clientFolder })
 * const answer = await app.request('/api/shop')
 */
export function createApp({
  store,
  intake,
  sampleFolder,
  clientFolder,
  log = createLog('silent'),
  entrance = OPEN_ENTRANCE,
  sending = { mail: null, address: 'http://127.0.0.1:4180' },
  identify = (c) => identifyCaller(c, store, entrance),
}: AppParts) {
  const app = new Hono()
  const metrics = createMetrics(store, intake)
  app.use(requestLog(log), securityHeadings())
  app.use('*', knownNames(entrance))
  app.use('/api/*', sameSite())
  app.use('/api/*', metrics.measure)
  app.use('/api/*', guard(identify))
  app.use('/api/*', boundedBodies())
  app.use('/api/*', compress())
  const version = recordVersion(store)
  app.use('/api/*', async (c, next) => {
    // Asked before anything is read: the answer may be newer than it says, never older.
    const now = c.req.method === 'GET' ? await version() : null
    await next()
    if (now !== null) c.header(VERSION_HEADING, now)
  })
  app.route('/api', shopRoutes(store, intake, sampleFolder))
  app.route('/api/part-numbers', partNumberRoutes(store, intake))
  app.route('/api/part-numbers', partRoutes(store))
  app.route('/api/parts', findingParts(store))
  app.route('/api/part-numbers', studyRoutes(store))
  app.route('/api/part-numbers', typingRoutes(store))
  app.route('/api/part-numbers', decisionRoutes(store))
  app.route('/api/part-numbers', aboutRoutes(store))
  app.route('/api/part-numbers', shrinkageRoutes(store))
  app.route('/api/part-numbers', requirementRoutes(store))
  app.route('/api/part-numbers', reportRoutes(store))
  app.route('/api/reports', reportRecordRoutes(store))
  app.route('/api/reports', guestLinkRoutes(store))
  app.route('/api', healthRoutes(store, intake, metrics))
  app.route('/api', sessionRoutes(store, entrance))
  app.route('/api/people', peopleRoutes(store))
  app.route('/api/tokens', tokenRoutes(store))
  app.route('/api/gauges', gaugeRoutes(store))
  app.route('/api/imports', importRoutes(store, intake))
  app.route('/api/record', recordRoutes(store, intake.filesFolder))
  app.route('/api/notices', noticeRoutes(store, version))
  app.route('/api/event-notices', eventNoticeRoutes(store, sending))
  let description: OpenApiDocument | null = null
  app.get('/api/openapi.json', (c) => {
    description ??= openApiDocument(app.routes)
    return c.json(description)
  })
  app.all('/api/*', answerNotFound)
  app.use('*', compress(), serveStatic({ root: clientFolder, onFound: keepNamedByContent }))
  app.all('/assets/*', answerNotFound)
  // Addresses of pages are the client's own: every one of them opens the same document.
  app.get('*', serveStatic({ root: clientFolder, path: 'index.html' }))
  app.notFound(answerNotFound)
  app.onError(answerError)
  return app
}

/** Scripts and styles carry a hash of their content in their name, so that browsers need not ask for them again. */
function keepNamedByContent(path: string, c: Context): void {
  if (path.includes('/assets/')) c.header('Cache-Control', 'public, max-age=31536000, immutable')
}
