import { mkdtempSync, readdirSync, rmdirSync, rmSync } from 'node:fs'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { serve } from '@hono/node-server'
import { type AppParts, createApp } from '../../server/app.ts'
import type { ImportChoices, ImportProgress, Receipt } from '../../server/contract/receipt.ts'
import { createIntake } from '../../server/intake/jobs.ts'
import { openStore, type Store } from '../../server/store/store.ts'

/** A real server on a port of its own with a real database file, for one test file. */
export interface RunningServer {
  readonly url: string
  /** Data folder; removed by `stop`. */
  readonly folder: string
  readonly store: Store
  /** GET of an address below the server's, as JSON. */
  get<T>(path: string): Promise<T>
  /** Hands a file in and waits for its receipt. */
  bring(name: string, bytes: string | Uint8Array, choices?: Partial<ImportChoices>): Promise<Receipt>
  stop(): Promise<void>
}

const root = fileURLToPath(new URL('../..', import.meta.url))

/** @param folder the data folder; one of its own unless said otherwise */
export async function startServer(
  parts: Partial<AppParts> = {},
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-')),
): Promise<RunningServer> {
  const store = await openStore({ file: join(folder, 'as-sintered.sqlite') })
  const intake = createIntake({ store, dataFolder: folder })
  const app = createApp({
    store,
    intake,
    sampleFolder: join(root, 'sample-data'),
    clientFolder: join(root, 'dist', 'client'),
    ...parts,
  })
  // A handler runs on when whoever asked has hung up, and may write into the folder meanwhile.
  const underWay = new Set<Promise<unknown>>()
  const handle: typeof app.fetch = (...request) => {
    const answer = Promise.resolve(app.fetch(...request))
    underWay.add(answer)
    const done = () => underWay.delete(answer)
    answer.then(done, done)
    return answer
  }
  const server = serve({ fetch: handle, hostname: '127.0.0.1', port: 0 })
  await new Promise<void>((resolve) => server.once('listening', () => resolve()))
  const url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`

  const get = async <T>(path: string): Promise<T> => {
    const answer = await fetch(url + path)
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
    return (await answer.json()) as T
  }

  return {
    url,
    folder,
    store,
    get,
    async bring(name, bytes, choices = {}) {
      const query = new URLSearchParams({ name, who: 'tests' })
      for (const [key, value] of Object.entries(choices)) if (value !== null) query.set(key, String(value))
      const answer = await fetch(`${url}/api/imports?${query}`, { method: 'POST', body: bytes as BodyInit })
      if (answer.status !== 202) throw new Error(`${answer.status} ${await answer.text()}`)
      return lastReceipt(url, (await answer.json()) as ImportProgress)
    },
    async stop() {
      await new Promise((resolve) => server.close(resolve))
      await Promise.allSettled(underWay)
      await intake.close()
      await store.close()
      // What is mounted there cannot go, but what is in it can.
      for (const each of readdirSync(folder)) rmSync(join(folder, each), { recursive: true, force: true })
      try {
        rmdirSync(folder)
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'EBUSY') throw error
      }
    },
  }
}

/** Follows the progress of a job to its end. */
export async function lastReceipt(url: string, { job }: ImportProgress): Promise<Receipt> {
  const answer = await fetch(`${url}/api/imports/jobs/${job}/progress`)
  const events = (await answer.text()).split('\n\n').filter((event) => event.includes('data:'))
  const last = JSON.parse((events[events.length - 1] as string).replace(/^.*?data: ?/s, '')) as ImportProgress
  if (last.receipt === null) throw new Error('the intake ended without a receipt')
  return last.receipt
}
