import { describe, expect, it } from 'vitest'
import { createThreadPool } from '../../../server/threads/thread-pool.ts'

class NamedError extends Error {}

interface BlockingOrder {
  readonly stop?: SharedArrayBuffer
  readonly fail?: 'named' | 'other'
}

const pool = createThreadPool<BlockingOrder>({
  worker: new URL('./blocking-worker', import.meta.url),
  most: 1,
  errorOf: (kind, text) => (kind === 'named' ? new NamedError(text) : new Error(text)),
})

describe('a pool of threads', () => {
  it('leaves this thread free while an order is computed, and lets the next wait for its turn', async () => {
    const [first, second] = [new SharedArrayBuffer(4), new SharedArrayBuffer(4)]
    const begun: string[] = []
    const started = new Promise<void>((resolve) => {
      void pool.run({ stop: first }, () => resolve()).then(() => begun.push('first done'))
    })
    await started
    // The thread computes without a pause until this one, which goes on, tells it to stop.
    const next = pool.run({ stop: second }, () => begun.push('second begun'))
    Atomics.store(new Int32Array(second), 0, 1)
    await new Promise((resolve) => setImmediate(resolve))
    expect(begun).toEqual([])
    Atomics.store(new Int32Array(first), 0, 1)
    await next
    expect(begun).toEqual(['first done', 'second begun'])
  })

  it('fails as the order did, and carries the next one out', async () => {
    await expect(pool.run({ fail: 'named' })).rejects.toThrow(NamedError)
    await expect(pool.run({ fail: 'other' })).rejects.toThrow('not foreseen')
    const stop = new SharedArrayBuffer(4)
    Atomics.store(new Int32Array(stop), 0, 1)
    expect(await pool.run({ stop })).toBeTypeOf('number')
  })
})
