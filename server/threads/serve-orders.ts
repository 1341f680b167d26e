import { parentPort } from 'node:worker_threads'
import type { ThreadAnswer } from './thread-pool.ts'

/**
 * The other side of `createThreadPool`: carries out the orders that come to this thread, one after another.
 *
 * @param kindOf names an error for the side that asked, with the text to make it anew from; null for 'other'
 */
export function serveOrders<Order>(
  carryOut: (order: Order, onProgress: (done: number, all: number) => void) => Promise<unknown>,
  kindOf: (error: unknown) => { readonly kind: string; readonly text: string } | null,
): void {
  const port = parentPort
  if (port === null) throw new Error('orders are carried out on a worker thread only')
  const say = (answer: ThreadAnswer) => port.postMessage(answer)
  port.on('message', async (order: Order) => {
    try {
      const result = await carryOut(order, (done, all) => say({ what: 'progress', done, all }))
      say({ what: 'done', result })
    } catch (error) {
      const named = kindOf(error)
      if (named !== null) say({ what: 'failed', ...named })
      else
        say({ what: 'failed', kind: 'other', text: error instanceof Error ? error.message : String(error) })
    }
  })
}
