import { Hono } from 'hono'
import type { HealthView, ReadyView } from '../contract/health.ts'
import type { Intake } from '../intake/jobs.ts'
import type { Metrics } from '../metrics.ts'
import type { Store } from '../store/store.ts'

/** Free bytes below which no file is to be sent here: a large import takes several times its size. */
const LEAST_FREE = 256 * 1024 ** 2

/** How the server is doing, for whatever watches over it; below /api. */
export function healthRoutes(store: Store, intake: Intake, metrics: Metrics) {
  return new Hono()
    .get('/health', (c) => c.json({ alive: true } satisfies HealthView))
    .get('/ready', async (c) => {
      const database = await isCurrent(store)
      const { isWritable, freeBytes } = await intake.disk()
      const disk = isWritable && freeBytes >= LEAST_FREE
      const ready = database === 'current' && disk
      return c.json(
        { ready, database, disk: disk ? 'writable' : 'full or read-only' } satisfies ReadyView,
        ready ? 200 : 503,
      )
    })
    .get('/metrics', async (c) => {
      c.header('Content-Type', metrics.contentType)
      return c.body(await metrics.text())
    })
}

async function isCurrent(store: Store): Promise<ReadyView['database']> {
  try {
    return (await store.isCurrent()) ? 'current' : 'to be brought up'
  } catch {
    return 'silent'
  }
}
