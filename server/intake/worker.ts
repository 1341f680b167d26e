import { parentPort, workerData } from 'node:worker_threads'
import type { Receipt } from '../contract/receipt.ts'
import { openStore } from '../store/store.ts'
import type { Order, Report, TakeFile, TakeFolder, Withdraw, WorkerSetting } from './messages.ts'
import { writingAside } from './store-thread.ts'
import { takeInFolder } from './take-folder.ts'
import { takeIn } from './take-in.ts'
import { withdraw } from './withdraw.ts'

/** The thread that files are taken in on, with a connection of its own, so that charts never wait for it. */

/** Milliseconds between two reports of progress. */
const REPORT_EVERY = 150

const port = parentPort
if (port === null) throw new Error('worker.ts runs as a worker thread only')
const { location, filesFolder } = workerData as WorkerSetting
const opened = await openStore(location)
const store = 'file' in location ? writingAside(opened) : opened

function report(message: Report): void {
  port?.postMessage(message)
}

async function run(order: TakeFile | TakeFolder | Withdraw): Promise<void> {
  const { job } = order
  const stop = new Int32Array(order.stop)
  const isCancelled = () => Atomics.load(stop, 0) !== 0
  let reported = 0
  const progress = (message: Report & { what: 'progress' }) => {
    const now = performance.now()
    if (message.state === 'reading' && now - reported < REPORT_EVERY) return
    reported = now
    report(message)
  }
  try {
    const receipt = await carryOut(order, isCancelled, progress)
    report({ what: 'finished', job, receipt })
  } catch (error) {
    report({ what: 'failed', job, message: error instanceof Error ? error.message : String(error) })
  }
}

async function carryOut(
  order: TakeFile | TakeFolder | Withdraw,
  isCancelled: () => boolean,
  progress: (message: Report & { what: 'progress' }) => void,
): Promise<Receipt> {
  const { job, choices } = order
  switch (order.what) {
    case 'take-file': {
      const { fileName, bytes } = order.file
      return await takeIn(store, order.file, choices, {
        filesFolder,
        isCancelled,
        onProgress: (state, bytesRead, rowsRead) =>
          progress({ what: 'progress', job, state, fileName, bytesRead, bytesTotal: bytes, rowsRead }),
      })
    }
    case 'take-folder':
      return await takeInFolder(store, order.folder, choices, {
        filesFolder,
        isCancelled,
        onProgress: (now) => progress({ what: 'progress', job, ...now }),
      })
    case 'withdraw':
      return await withdraw(store, order.importId, choices.who, order.reason)
  }
}

port.on('message', (order: Order) => {
  if (order.what === 'close') {
    port.close()
    void store.close()
  } else {
    void run(order)
  }
})
