import { Worker } from 'node:worker_threads'
import type { Manner } from '../store/engine.ts'
import type { PartTable } from '../store/schema.ts'
import type { Store } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import { NumberFilter, numberOf } from './number-filter.ts'

/** Main thread to the thread that writes. */
export type StoreOrder =
  | { readonly what: 'begin'; readonly manner: Manner }
  | { readonly what: 'call'; readonly id: number; readonly method: keyof Writer; readonly args: unknown[] }
  | { readonly what: 'end'; readonly commit: boolean }
  | { readonly what: 'close' }

/** What the thread answers. `begun` and `ended` are about the transaction, `answer` about one call in it. */
export type StoreAnswer =
  | { readonly what: 'begun' }
  | { readonly what: 'answer'; readonly id: number; readonly result: unknown }
  | { readonly what: 'fault'; readonly id: number; readonly error: Error }
  | { readonly what: 'ended'; readonly error: Error | null }

interface Waiting {
  readonly resolve: (result: never) => void
  readonly reject: (error: Error) => void
}

/**
 * The store with its writing done on a thread of its own, so that a file is parsed and checked while what was
 * checked before is written. Reads go on as before, and show a transaction once it is committed.
 * For SQLite files; a database server is a process of its own already.
 */
export function writingAside(store: Store): Store {
  const entry = import.meta.url.endsWith('.ts')
    ? './store-thread-from-sources.mjs'
    : './store-thread-worker.js'
  const thread = new Worker(new URL(entry, import.meta.url), {
    workerData: store.location,
    execArgv: [],
    // It holds one batch at a time.
    resourceLimits: { maxYoungGenerationSizeMb: 12, maxOldGenerationSizeMb: 192 },
  })
  const calls = new Map<number, Waiting>()
  let transaction: Waiting | null = null
  let failed: Error | null = null
  let next = 1

  const fail = (error: Error) => {
    failed = error
    for (const { reject } of calls.values()) reject(error)
    calls.clear()
    transaction?.reject(error)
    transaction = null
  }
  thread.on('error', fail)
  thread.on('exit', () => fail(new Error('the thread that writes ended')))
  thread.on('message', (answer: StoreAnswer) => {
    if (answer.what === 'begun') transaction?.resolve(undefined as never)
    else if (answer.what === 'ended') {
      if (answer.error === null) transaction?.resolve(undefined as never)
      else transaction?.reject(answer.error)
    } else {
      const waiting = calls.get(answer.id)
      calls.delete(answer.id)
      if (answer.what === 'answer') waiting?.resolve(answer.result as never)
      else waiting?.reject(answer.error)
    }
  })

  const send = (order: StoreOrder) => thread.postMessage(order)
  const inTransaction = (order: StoreOrder) =>
    new Promise<void>((resolve, reject) => {
      if (failed !== null) {
        reject(failed)
        return
      }
      transaction = { resolve: resolve as Waiting['resolve'], reject }
      send(order)
    })
  const call = (method: keyof Writer, args: unknown[]) =>
    new Promise((resolve, reject) => {
      if (failed !== null) {
        reject(failed)
        return
      }
      const id = next++
      calls.set(id, { resolve: resolve as Waiting['resolve'], reject })
      send({ what: 'call', id, method, args })
    })

  const inserted = new NumberFilter()
  const placed = new NumberFilter()
  /**
   * Parts are looked up here, among what was committed before the transaction, so that the look-up does not wait
   * until everything handed over so far is written; nobody else commits meanwhile. What the transaction itself may
   * have written is asked of the thread that writes.
   */
  const parts = {
    async partsBySerial(partNumberId, serials) {
      const isNew = (serial: string) => inserted.mayHave(numberOf(partNumberId, serial))
      const here = await store.partsBySerial(
        partNumberId,
        serials.filter((serial) => !isNew(serial)),
      )
      const unchanged = here.filter((part) => !placed.mayHave(part.id))
      const asked = serials.filter(isNew)
      for (const part of here) if (placed.mayHave(part.id)) asked.push(part.serial)
      if (asked.length === 0) return unchanged
      return [...unchanged, ...((await call('partsBySerial', [partNumberId, asked])) as PartTable[])]
    },
    async insertParts(rows) {
      for (const { part_number_id, serial } of rows) inserted.add(numberOf(part_number_id, serial))
      await call('insertParts', [rows])
    },
    async placeParts(rows) {
      for (const { id } of rows) placed.add(id)
      await call('placeParts', [rows])
    },
  } satisfies Partial<Writer>

  const writer = new Proxy({} as Writer, {
    get(_, method) {
      if (method === 'inOrder') return true
      // A transaction on SQLite has no others beside it.
      if (method === 'requireAlone') return () => undefined
      if (typeof method !== 'string' || method === 'then') return undefined
      if (method in parts) return parts[method as keyof typeof parts]
      return (...args: unknown[]) => call(method as keyof Writer, args)
    },
  })

  let last: Promise<unknown> = Promise.resolve()
  async function writeOnce<T>(work: (writer: Writer) => Promise<T>, manner: Manner): Promise<T> {
    await inTransaction({ what: 'begin', manner })
    inserted.clear()
    placed.clear()
    let result: T
    try {
      result = await work(writer)
    } catch (error) {
      await inTransaction({ what: 'end', commit: false })
      throw error
    }
    await inTransaction({ what: 'end', commit: true })
    return result
  }
  return {
    ...store,
    write(work, manner = 'alone') {
      const run = last.then(() => writeOnce(work, manner))
      last = run.catch(() => undefined)
      return run
    },
    async close() {
      await last
      const ended = new Promise((resolve) => thread.once('exit', resolve))
      send({ what: 'close' })
      await ended
      await store.close()
    },
  }
}
