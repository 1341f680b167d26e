import { Worker } from 'node:worker_threads'

/** What a thread says of the order in hand. */
export type ThreadAnswer =
  | { readonly what: 'progress'; readonly done: number; readonly all: number }
  | { readonly what: 'done'; readonly result: unknown }
  | {
      readonly what: 'failed'
      /** Names the error for the side that asked; 'other' for one that nobody expects. */
      readonly kind: string
      readonly text: string
    }

export interface ThreadPoolSetting {
  /** Address of the worker's module, without its ending: `new URL('./report-worker', import.meta.url)`. */
  readonly worker: URL
  /** Threads at once. */
  readonly most: number
  /** Of each thread's heap; the machine's own where nothing is said. */
  readonly maxYoungGenerationSizeMb?: number
  /** The error that the order is to fail with. */
  errorOf(kind: string, text: string): Error
}

/** Carries orders out on threads that are kept for the next order. */
export interface ThreadPool<Order> {
  /** @param onProgress told how much is done, of how much */
  run(order: Order, onProgress?: (done: number, all: number) => void): Promise<unknown>
}

/** A thread, and who waits for what it does. */
interface Thread {
  readonly worker: Worker
  hear: (answer: ThreadAnswer) => void
  fail: (error: Error) => void
}

export function createThreadPool<Order>(setting: ThreadPoolSetting): ThreadPool<Order> {
  let running = 0
  const waiting: (() => void)[] = []
  /** Threads that have nothing to do; they do not keep the program from ending. */
  const idle: Thread[] = []

  const start = (): Thread => {
    const thread: Thread = { worker: startWorker(setting), hear: () => undefined, fail: () => undefined }
    const gone = (error: Error) => {
      const place = idle.indexOf(thread)
      if (place !== -1) idle.splice(place, 1)
      thread.fail(error)
    }
    thread.worker.on('message', (answer: ThreadAnswer) => thread.hear(answer))
    thread.worker.on('error', gone)
    thread.worker.on('exit', (code) => gone(new Error(`the thread ended with status ${code}`)))
    return thread
  }

  const carryOut = (order: Order, onProgress: (done: number, all: number) => void): Promise<unknown> => {
    const thread = idle.pop() ?? start()
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
        if (answer.what === 'done') resolve(answer.result)
        else reject(setting.errorOf(answer.kind, answer.text))
      }
      thread.worker.postMessage(order)
    })
  }

  return {
    async run(order, onProgress = () => undefined) {
      if (running >= setting.most) await new Promise<void>((turn) => waiting.push(turn))
      else running++
      try {
        return await carryOut(order, onProgress)
      } finally {
        // The turn is handed on, or given back.
        const next = waiting.shift()
        if (next === undefined) running--
        else next()
      }
    },
  }
}

/** From TypeScript sources as from the compiled program. */
function startWorker({ worker, maxYoungGenerationSizeMb }: ThreadPoolSetting): Worker {
  const resourceLimits = maxYoungGenerationSizeMb === undefined ? {} : { maxYoungGenerationSizeMb }
  return import.meta.url.endsWith('.ts')
    ? new Worker(new URL('./from-sources.mjs', import.meta.url), {
        argv: [`${worker.href}.ts`],
        execArgv: [],
        resourceLimits,
      })
    : new Worker(new URL(`${worker.href}.js`), { execArgv: [], resourceLimits })
}
