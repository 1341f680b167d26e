import { Worker } from 'node:worker_threads'
import type { Report, Verification } from '../contract/report.ts'
import type { PartNumber } from '../contract/views.ts'
import type { StoreLocation } from '../store/location.ts'
import { NotAReportError } from './attached.ts'
import type { FileWanted, ReportWanted } from './make-report.ts'
import { UnknownBuildError } from './report-data.ts'

/** What the thread is told to do. */
export type ReportOrder =
  | {
      readonly what: 'draw up'
      readonly location: StoreLocation
      readonly partNumber: PartNumber
      readonly wanted: ReportWanted
      readonly who: string
    }
  | { readonly what: 'print'; readonly report: Report; readonly wanted: FileWanted }
  | { readonly what: 'verify file'; readonly location: StoreLocation; readonly bytes: Uint8Array }
  | { readonly what: 'verify number'; readonly location: StoreLocation; readonly number: number }

/** What the thread says. */
export type ReportAnswer =
  | { readonly what: 'progress'; readonly done: number; readonly all: number }
  | { readonly what: 'done'; readonly result: unknown }
  | {
      readonly what: 'failed'
      readonly kind: 'unknown build' | 'not a report' | 'other'
      readonly text: string
    }

interface Results {
  readonly 'draw up': Report
  readonly print: Uint8Array
  readonly 'verify file': Verification
  readonly 'verify number': Verification | null
}

/**
 * Carry the order out on a thread of its own.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws UnknownBuildError, NotAReportError as what was ordered
 */
export function onReportThread<T extends ReportOrder>(
  order: T,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Results[T['what']]> {
  const entry = import.meta.url.endsWith('.ts') ? './worker-from-sources.mjs' : './report-worker.js'
  const worker = new Worker(new URL(entry, import.meta.url), {
    workerData: order,
    execArgv: [],
    // Printing makes very many small things that are soon forgotten.
    resourceLimits: { maxYoungGenerationSizeMb: 128 },
  })
  return new Promise((resolve, reject) => {
    worker.on('message', (answer: ReportAnswer) => {
      if (answer.what === 'progress') onProgress(answer.done, answer.all)
      else if (answer.what === 'done') resolve(answer.result as Results[T['what']])
      else if (answer.kind === 'unknown build') reject(new UnknownBuildError(answer.text))
      else if (answer.kind === 'not a report') reject(new NotAReportError(answer.text))
      else reject(new Error(answer.text))
    })
    worker.on('error', reject)
    // Without effect where it has answered before.
    worker.on('exit', (code) => reject(new Error(`the thread ended with status ${code}`)))
  })
}
