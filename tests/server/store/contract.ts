import { afterEach, beforeEach, describe } from 'vitest'
import type { Store } from '../../../server/store/store.ts'
import { unrecorded } from '../../tools/unrecorded.ts'
import { cellsContract } from './cells-contract.ts'
import { decisionsContract } from './decisions-contract.ts'
import { distributionContract } from './distribution-contract.ts'
import { eventNoticesContract } from './event-notices-contract.ts'
import { factorsContract } from './factors-contract.ts'
import { fill } from './furnished.ts'
import { gaugesContract } from './gauges-contract.ts'
import { ownLimitsContract } from './own-limits-contract.ts'
import { peopleContract } from './people-contract.ts'
import { readsContract } from './reads-contract.ts'
import { recordContract } from './record-contract.ts'
import { writesContract } from './writes-contract.ts'

/** A store on an empty database, and how to be rid of both. */
export interface OpenedStore {
  readonly store: Store
  remove(): Promise<void>
}

/** What every store must do, whatever database is below it. */
export function storeContract(name: string, open: () => Promise<OpenedStore>): void {
  describe(`a store on ${name}`, () => {
    let opened: OpenedStore
    let store: Store
    beforeEach(async () => {
      opened = await open()
      store = unrecorded(opened.store)
    })
    afterEach(() => opened.remove())

    readsContract(() => store)

    writesContract(() => store)

    distributionContract(() => store)

    cellsContract(async () => {
      await fill(store)
      return store
    })

    decisionsContract(async () => {
      await fill(store)
      return store
    })

    recordContract(async () => {
      await fill(store)
      return opened.store
    })

    gaugesContract(async () => {
      await fill(store)
      return opened.store
    })

    peopleContract(async () => {
      await fill(store)
      return store
    })

    eventNoticesContract(async () => {
      await fill(store)
      return store
    })

    ownLimitsContract(() => opened.store)

    factorsContract(async () => {
      await fill(store)
      return store
    })
  })
}
