import type { Receipt } from '../../server/contract/receipt.ts'
import { createIntakeQueue } from './intake-queue.ts'
import { cancelJob, retryJob, sendFile, startSampleShop, watchJob } from './upload.ts'

const heard = new Set<(receipt: Receipt) => void>()

/** Calls back after every finished import; returns a way to stop. */
export function onReceipt(listener: (receipt: Receipt) => void): () => void {
  heard.add(listener)
  return () => heard.delete(listener)
}

/** The one queue of this page; it goes on while the reader looks at something else. */
export const intakeQueue = createIntakeQueue(
  { send: sendFile, watch: watchJob, retry: retryJob, cancel: cancelJob, sample: startSampleShop },
  (receipt) => {
    for (const listener of heard) listener(receipt)
  },
)
