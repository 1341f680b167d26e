import type { ImportChoices, Receipt } from '../contract/receipt.ts'
import type { StoreLocation } from '../store/store.ts'
import type { WaitingFile } from './take-in.ts'

/** What the worker is started with. */
export interface WorkerSetting {
  readonly location: StoreLocation
  readonly filesFolder: string
}

/** Main thread to worker. */
export type Order = TakeFile | TakeFolder | Withdraw | { readonly what: 'close' }

interface Stoppable {
  readonly job: string
  readonly choices: ImportChoices
  /** One Int32: not zero once the job is to stop. */
  readonly stop: SharedArrayBuffer
}

export interface TakeFile extends Stoppable {
  readonly what: 'take-file'
  readonly file: WaitingFile
}

export interface TakeFolder extends Stoppable {
  readonly what: 'take-folder'
  readonly folder: string
}

export interface Withdraw extends Stoppable {
  readonly what: 'withdraw'
  readonly importId: number
  readonly reason: string
}

/** Worker to main thread. */
export type Report =
  | {
      readonly what: 'progress'
      readonly job: string
      readonly state: 'reading' | 'writing'
      readonly fileName: string
      readonly bytesRead: number
      readonly bytesTotal: number
      readonly rowsRead: number
    }
  | { readonly what: 'finished'; readonly job: string; readonly receipt: Receipt }
  | { readonly what: 'failed'; readonly job: string; readonly message: string }
