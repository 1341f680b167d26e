import { parentPort, workerData } from 'node:worker_threads'
import type { Manner } from '../store/engine.ts'
import type { StoreLocation } from '../store/location.ts'
import { openStore } from '../store/store.ts'
import type { Writer } from '../store/writer.ts'
import type { StoreAnswer, StoreOrder } from './store-thread.ts'

/** The thread that a store's writing is done on; it carries out one order after another. */

const port = parentPort
if (port === null) throw new Error('store-thread-worker.ts runs as a worker thread only')
const store = await openStore(workerData as StoreLocation)

/** Rolls a transaction back that was not to be committed. */
class Undone extends Error {}

function answer(message: StoreAnswer): void {
  port?.postMessage(message)
}

/** Errors of the SQLite driver would arrive as objects without a message. */
function sendable(error: unknown): Error {
  return new Error(error instanceof Error ? error.message : String(error))
}

let writer: Writer | null = null
let end: ((commit: boolean) => void) | null = null
let calls: Promise<void> = Promise.resolve()

function begin(manner: Manner): void {
  store
    .write(
      (opened) =>
        new Promise<void>((resolve, reject) => {
          writer = opened
          end = (commit) => (commit ? resolve() : reject(new Undone()))
          answer({ what: 'begun' })
        }),
      manner,
    )
    .then(
      () => answer({ what: 'ended', error: null }),
      (error: Error) => answer({ what: 'ended', error: error instanceof Undone ? null : sendable(error) }),
    )
}

async function carryOut({ id, method, args }: StoreOrder & { what: 'call' }): Promise<void> {
  try {
    const run = (writer as Writer)[method] as (...args: unknown[]) => Promise<unknown>
    answer({ what: 'answer', id, result: await run(...args) })
  } catch (error) {
    answer({ what: 'fault', id, error: sendable(error) })
  }
}

port.on('message', (order: StoreOrder) => {
  if (order.what === 'begin') begin(order.manner)
  else if (order.what === 'call') calls = calls.then(() => carryOut(order))
  else if (order.what === 'end') calls = calls.then(() => end?.(order.commit))
  else {
    port.close()
    void store.close()
  }
})
