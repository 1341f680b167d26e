import type { MiddlewareHandler } from 'hono'
import { collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client'
import { matchedRule } from './access/matched-rule.ts'
import type { Intake } from './intake/jobs.ts'
import { openEventStreams } from './routes/event-streams.ts'
import type { Store } from './store/store.ts'

/** Upper ends of the classes of durations, in seconds. */
const SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.15, 0.25, 0.5, 1, 2.5, 5, 10, 30]

/** What is measured of the running server. */
export interface Metrics {
  /** Measures every request, by route and status. */
  readonly measure: MiddlewareHandler
  /** In the Prometheus text format, version 0.0.4. */
  text(): Promise<string>
  readonly contentType: string
}

export function createMetrics(store: Store, intake: Intake): Metrics {
  const registry = new Registry()
  collectDefaultMetrics({ register: registry })
  const registers = [registry]
  const durations = new Histogram({
    name: 'as_sintered_http_request_duration_seconds',
    help: 'Duration of requests until their answer begins',
    labelNames: ['method', 'route', 'status'],
    buckets: SECONDS,
    registers,
  })
  new Gauge({
    name: 'as_sintered_imports',
    help: 'Imports on record',
    labelNames: ['verdict'],
    registers,
    async collect() {
      this.reset()
      for (const { verdict, imports } of await store.importTotals()) this.set({ verdict }, imports)
    },
  })
  new Gauge({
    name: 'as_sintered_rows',
    help: 'Rows of imports on record',
    labelNames: ['what'],
    registers,
    async collect() {
      const totals = await store.importTotals()
      const sum = (of: 'taken' | 'refused') => totals.reduce((all, total) => all + total[of], 0)
      this.set({ what: 'taken' }, sum('taken'))
      this.set({ what: 'refused' }, sum('refused'))
    },
  })
  new Gauge({
    name: 'as_sintered_intake_queue',
    help: 'Files that wait or are being taken in',
    registers,
    collect() {
      this.set(intake.waiting())
    },
  })
  new Gauge({
    name: 'as_sintered_event_streams',
    help: 'Pages that are kept up to date',
    registers,
    collect() {
      this.set(openEventStreams())
    },
  })
  return {
    contentType: registry.contentType,
    text: () => registry.metrics(),
    measure: async (c, next) => {
      const end = durations.startTimer()
      await next()
      // Only routes that are listed: addresses made up by a stranger must not become labels.
      const [method = 'other', route = 'other'] = matchedRule(c)?.call.split(' ') ?? []
      end({ method, route, status: c.res.status })
    },
  }
}
