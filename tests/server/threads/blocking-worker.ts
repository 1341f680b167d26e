import { serveOrders } from '../../../server/threads/serve-orders.ts'

/** A worker for thread-pool.test.ts: keeps its thread busy until it is told to stop, or fails as it is told to. */

class NamedError extends Error {}

serveOrders<{ readonly stop?: SharedArrayBuffer; readonly fail?: 'named' | 'other' }>(
  async ({ stop, fail }, onProgress) => {
    if (fail === 'named') throw new NamedError('as ordered')
    if (fail === 'other') throw new Error('not foreseen')
    onProgress(1, 2)
    const flag = new Int32Array(stop as SharedArrayBuffer)
    let turns = 0
    while (Atomics.load(flag, 0) === 0) turns++
    return turns
  },
  (error) => (error instanceof NamedError ? { kind: 'named', text: error.message } : null),
)
