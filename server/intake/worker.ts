import { parentPort, workerData } from 'node:worker_threads'
import { openStore } from '../store/store.ts'
import type { Order, Report, TakeFile, TakeFolder, WorkerSetting } from './messages.ts'
import { takeInFolder } from './take-folder.ts'
import { takeIn } from './take-in.ts'

/** The thread that files are taken in on, with a connection of its own, so that charts never wait for it. */

/** Milliseconds between two reports of progress. */
const REPORT_EVERY = 150

const port = parentPort
if (port === null) throw new Error('worker.ts runs as a worker thread only')
const { location, filesFolder } = workerData as WorkerSetting
const store = await openStore(location)

function report(message: Report): void {
  port?.postMessage(message)
}

async function run(order: TakeFile | TakeFolder): Promise<void> {
  const { job, choices } = order
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
    const receipt =
      order.what === 'take-file'
        ? await takeIn(store, order.file, choices, {
            filesFolder,
            isCancelled,
            onProgress: (state, bytesRead, rowsRead) => {
              const { fileName, bytes } = order.file
              progress({ what: 'progress', job, state, fileName, bytesRead, bytesTotal: bytes, rowsRead })
            },
          })
        : await takeInFolder(store, order.folder, choices, {
            filesFolder,
            isCancelled,
            onProgress: (now) => progress({ what: 'progress', job, ...now }),
          })
    report({ what: 'finished', job, receipt })
  } catch (error) {
    report({ what: 'failed', job, message: error instanceof Error ? error.message : String(error) })
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
