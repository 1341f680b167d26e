import type { ScaleFactors } from '../src/domain/build.ts'
import { ConvergenceError } from '../src/errors.ts'
import type { PartNumber } from './contract/views.ts'
import { kept } from './store/kept.ts'
import type { StoreLocation } from './store/location.ts'
import type { ShrinkageSettings } from './store/shrinkage-settings.ts'
import type { Store } from './store/store.ts'
import { createThreadPool } from './threads/thread-pool.ts'

/** What is asked about the shrinkage of a part number. */
export type ShrinkageQuestion =
  | { readonly what: 'view' }
  | { readonly what: 'shares' }
  | { readonly what: 'prediction'; readonly factors: ScaleFactors }
  | { readonly what: 'settings'; readonly settings: ShrinkageSettings }
  | { readonly what: 'decision'; readonly factors: ScaleFactors }

export interface ShrinkageOrder {
  readonly location: StoreLocation
  readonly partNumber: PartNumber
  readonly question: ShrinkageQuestion
}

const pool = createThreadPool<ShrinkageOrder>({
  worker: new URL('./shrinkage-worker', import.meta.url),
  // One, so that what was fitted for one question serves the next.
  most: 1,
  errorOf: (kind, text) => (kind === 'convergence' ? new ConvergenceError(text) : new Error(text)),
})

/**
 * The answer to a question, as JSON in UTF-8, computed on a thread of its own and kept until something is committed.
 * A fit of a long record takes a second or two, in which charts go on being served.
 *
 * @throws ConvergenceError where the scatter of builds and loads cannot be told
 */
export function askAboutShrinkage(
  store: Store,
  partNumber: PartNumber,
  question: ShrinkageQuestion,
): Promise<Uint8Array<ArrayBuffer>> {
  return kept(store, `shrinkage of ${partNumber.id}: ${JSON.stringify(question)}`, async () => {
    return (await pool.run({ location: store.location, partNumber, question })) as Uint8Array<ArrayBuffer>
  })
}
