import { parentPort } from 'node:worker_threads'
import { openStore } from '../store/store.ts'
import { NotAReportError } from './attached.ts'
import { drawUpReport, reportFile } from './make-report.ts'
import { UnknownBuildError } from './report-data.ts'
import type { ReportAnswer, ReportOrder } from './report-thread.ts'
import { verifyFile, verifyNumber } from './verify.ts'

/** The thread that reports are computed, printed and verified on, one after another, so that charts never wait for it. */

const port = parentPort
if (port === null) throw new Error('report-worker.ts runs as a worker thread only')
const say = (answer: ReportAnswer) => port.postMessage(answer)

port.on('message', async (order: ReportOrder) => {
  try {
    say({ what: 'done', result: await carryOut(order) })
  } catch (error) {
    const kind =
      error instanceof UnknownBuildError
        ? 'unknown build'
        : error instanceof NotAReportError
          ? 'not a report'
          : 'other'
    const text = error instanceof UnknownBuildError ? error.build : (error as Error).message
    say({ what: 'failed', kind, text })
  }
})

async function carryOut(order: ReportOrder): Promise<unknown> {
  if (order.what === 'print') {
    const { logo } = order.wanted
    return await reportFile(order.report, { ...order.wanted, logo: logo && Buffer.from(logo) })
  }
  const store = await openStore(order.location)
  try {
    switch (order.what) {
      case 'draw up':
        return await drawUpReport(store, order.partNumber, order.wanted, order.who, (done, all) =>
          say({ what: 'progress', done, all }),
        )
      case 'verify file':
        return await verifyFile(store, Buffer.from(order.bytes))
      case 'verify number':
        return await verifyNumber(store, order.number)
    }
  } finally {
    await store.close()
  }
}
