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

/** Threads at once: a report takes much memory, and charts need the processor too. */
const MOST_AT_ONCE = 2

let running = 0
const waiting: (() => void)[] = []

/**
 * Carry the order out on a thread of its own, when it is its turn.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws UnknownBuildError, NotAReportError as what was ordered
 */
export async function onReportThread<T extends ReportOrder>(
  order: T,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<Results[T['what']]> {
  if (running >= MOST_AT_ONCE) await new Promise<void>((turn) => waiting.push(turn))
  else running++
  try {
    return await runThread(order, onProgress)
  } finally {
    // The turn is handed on, or given back.
    const next = waiting.shift()
    if (next === undefined) running--
    else next()
  }
}

/** A thread, and who waits for what it does. */
interface Thread {
  readonly worker: Worker
  hear: (answer: ReportAnswer) => void
  fail: (error: Error) => void
}

/** Threads that have nothing to do; they do not keep the program from ending. */
const idle: Thread[] = []

function startThread(): Thread {
  const entry = import.meta.url.endsWith('.ts') ? './worker-from-sources.mjs' : './report-worker.js'
  const worker = new Worker(new URL(entry, import.meta.url), {
    execArgv: [],
    // Printing makes very many small things that are soon forgotten.
    resourceLimits: { maxYoungGenerationSizeMb: 128 },
  })
  const thread: Thread = { worker, hear: () => undefined, fail: () => undefined }
  const gone = (error: Error) => {
    const place = idle.indexOf(thread)
    if (place !== -1) idle.splice(place, 1)
    thread.fail(error)
  }
  worker.on('message', (answer: ReportAnswer) => thread.hear(answer))
  worker.on('error', gone)
  worker.on('exit', (code) => gone(new Error(`the thread ended with status ${code}`)))
  return thread
}

function runThread<T extends ReportOrder>(
  order: T,
  onProgress: (done: number, all: number) => void,
): Promise<Results[T['what']]> {
  const thread = idle.pop() ?? startThread()
  thread.worker.ref()
  return new Promise((resolve, reject) => {
    thread.fail = reject
    thread.hear = (answer) => {
      if (answer.what === 'progress') {
        onProgress(answer.done, answer.all)
        return
      }
      thread.worker.unref()
      idle.push(thread)
      if (answer.what === 'done') resolve(answer.result as Results[T['what']])
      else if (answer.kind === 'unknown build') reject(new UnknownBuildError(answer.text))
      else if (answer.kind === 'not a report') reject(new NotAReportError(answer.text))
      else reject(new Error(answer.text))
    }
    thread.worker.postMessage(order)
  })
}
