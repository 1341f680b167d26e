import { Worker } from 'node:worker_threads'
import type { WorkerSetting } from './messages.ts'

/** Start the intake's thread, from TypeScript sources as from the compiled program. */
export function startWorker(workerData: WorkerSetting): Worker {
  const entry = import.meta.url.endsWith('.ts') ? './worker-from-sources.mjs' : './worker.js'
  return new Worker(new URL(entry, import.meta.url), { workerData, execArgv: [] })
}
