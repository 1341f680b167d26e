import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { Worker } from 'node:worker_threads'
import type { WorkerSetting } from './messages.ts'

/** Start the intake's thread, from TypeScript sources as from the compiled program. */
export function startWorker(setting: WorkerSetting): Worker {
  const fromSources = import.meta.url.endsWith('.ts')
  return new Worker(new URL(fromSources ? './worker.ts' : './worker.js', import.meta.url), {
    workerData: setting,
    execArgv: fromSources ? ['--import', typeScriptLoader()] : [],
  })
}

function typeScriptLoader(): string {
  return pathToFileURL(createRequire(import.meta.url).resolve('tsx')).href
}
