import { ConvergenceError } from '../src/errors.ts'
import type { ShrinkageOrder } from './shrinkage-thread.ts'
import { openStore, type Store } from './store/store.ts'
import { serveOrders } from './threads/serve-orders.ts'
import { sharesView } from './views/shares-view.ts'
import { settingsPreviewView } from './views/shrinkage-settings-view.ts'
import { decisionDraft, predictionView, shrinkageView } from './views/shrinkage-view.ts'

/** The thread that shrinkage is fitted on. It keeps the store open for a while, and with it what was fitted. */

/** Milliseconds without a question after which the store is closed. */
const OPEN_FOR = 60_000

let open: { readonly key: string; readonly store: Store } | null = null
let closing: NodeJS.Timeout | undefined

serveOrders(carryOut, (error) =>
  error instanceof ConvergenceError ? { kind: 'convergence', text: error.message } : null,
)

async function carryOut({ location, partNumber, question }: ShrinkageOrder): Promise<Uint8Array> {
  clearTimeout(closing)
  const key = JSON.stringify(location)
  if (open?.key !== key) {
    await closeStore()
    open = { key, store: await openStore(location) }
  }
  try {
    return new TextEncoder().encode(JSON.stringify(await answer(open.store)))
  } finally {
    closing = setTimeout(closeStore, OPEN_FOR).unref()
  }

  function answer(store: Store): Promise<unknown> {
    switch (question.what) {
      case 'view':
        return shrinkageView(store, partNumber)
      case 'shares':
        return sharesView(store, partNumber)
      case 'prediction':
        return predictionView(store, partNumber, question.factors)
      case 'settings':
        return settingsPreviewView(store, partNumber, question.settings)
      case 'decision':
        return decisionDraft(store, partNumber, question.factors)
    }
  }
}

async function closeStore(): Promise<void> {
  const { store } = open ?? {}
  open = null
  await store?.close()
}
