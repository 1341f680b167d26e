import { openStore } from '../store/store.ts'
import { serveOrders } from '../threads/serve-orders.ts'
import { buildPartsView } from '../views/build-parts-view.ts'
import { judgedShapes } from '../views/judged-shapes.ts'
import { courseOf, shapeAgainst, shapedValues } from '../views/values-detail.ts'
import { NotAReportError } from './attached.ts'
import { drawUpReport, reportFile } from './make-report.ts'
import { UnknownBuildError } from './report-data.ts'
import type { ReportOrder } from './report-thread.ts'
import { verifyFile, verifyNumber } from './verify.ts'

/** The thread that reports are computed, printed and verified on, one after another, so that charts never wait for it. */

serveOrders(carryOut, (error) =>
  error instanceof UnknownBuildError
    ? { kind: 'unknown build', text: error.build }
    : error instanceof NotAReportError
      ? { kind: 'not a report', text: error.message }
      : null,
)

async function carryOut(
  order: ReportOrder,
  onProgress: (done: number, all: number) => void,
): Promise<unknown> {
  if (order.what === 'print') {
    const { logo } = order.wanted
    return await reportFile(order.report, { ...order.wanted, logo: logo && Buffer.from(logo) })
  }
  const store = await openStore(order.location)
  try {
    switch (order.what) {
      case 'draw up':
        return await drawUpReport(store, order.partNumber, order.wanted, order.who, onProgress)
      case 'find shapes':
        return await judgedShapes(store, order.partNumber, order.question, onProgress)
      case 'look at values':
        return await shapedValues(store, order.partNumber, order.question, order.characteristicId)
      case 'judge against':
        return await shapeAgainst(
          store,
          order.partNumber,
          order.question,
          order.characteristicId,
          order.limits,
        )
      case 'follow index':
        return await courseOf(store, order.partNumber, order.question, order.characteristicId, order.shape)
      case 'judge parts': {
        const view = await buildPartsView(store, order.partNumber, order.build)
        return view && new TextEncoder().encode(JSON.stringify(view))
      }
      case 'verify file':
        return await verifyFile(store, Buffer.from(order.bytes))
      case 'verify number':
        return await verifyNumber(store, order.number)
    }
  } finally {
    await store.close()
  }
}
