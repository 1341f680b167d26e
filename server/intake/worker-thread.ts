import { Worker } from 'node:worker_threads'
import type { WorkerSetting } from './messages.ts'

/** Most MiB of the thread's heap: several times what ten million rows need, and a bound to garbage. */
const HEAP = 384

/** Start the intake's thread, from TypeScript sources as from the compiled program. */
export function startWorker(workerData: WorkerSetting): Worker {
  const entry = import.meta.url.endsWith('.ts') ? './worker-from-sources.mjs' : './worker.js'
  const resourceLimits = { maxYoungGenerationSizeMb: 24, maxOldGenerationSizeMb: HEAP }
  return new Worker(new URL(entry, import.meta.url), { workerData, execArgv: [], resourceLimits })
}
