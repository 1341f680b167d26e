import { randomUUID } from 'node:crypto'
import { once } from 'node:events'
import { existsSync, rmSync } from 'node:fs'
import { access, constants, statfs } from 'node:fs/promises'
import { basename, join } from 'node:path'
import type { Worker } from 'node:worker_threads'
import { now } from '../clock.ts'
import type { FileProblem, ImportChoices, ImportProgress, Receipt } from '../contract/receipt.ts'
import { DISK_FULL, isDiskFull } from '../disk-full.ts'
import { openOwnFolder } from '../own-folder.ts'
import type { Store } from '../store/store.ts'
import { blankReceipt } from './blank-receipt.ts'
import type { Order, Report, TakeFile, TakeFolder, Withdraw } from './messages.ts'
import { receive } from './receive.ts'
import { startWorker } from './worker-thread.ts'

export interface IntakeOptions {
  /** A store in a file; the intake opens it a second time on its own thread. */
  readonly store: Store
  /** Folder where files wait, and where those taken in are kept under their hash. */
  readonly dataFolder: string
  /** Greatest size of a file, in bytes; 4 GiB unless said otherwise. */
  readonly byteLimit?: number
}

/** Takes files in, one after another, away from the thread that serves charts. */
export interface Intake {
  /**
   * Receive a file and line it up.
   *
   * @returns the job's name
   * @throws FileProblemError where the file is larger than the limit; whatever `body` throws
   */
  accept(body: AsyncIterable<Uint8Array>, fileName: string, choices: ImportChoices): Promise<string>
  /** Line up a shop laid out in folders (see `takeInFolder`). */
  acceptFolder(folder: string, who?: string): Promise<string>
  /**
   * Take an import out again, behind what waits already (see `withdraw`).
   *
   * @returns its receipt; one with a problem where it could not be done
   */
  withdraw(importId: number, fileName: string, who: string, reason: string): Promise<Receipt>
  /** Null where no such job is remembered. */
  progress(job: string): ImportProgress | null
  /** Be told at once, at every step and at least twice a second until the job ends. @returns how to stop it */
  subscribe(job: string, listener: (progress: ImportProgress) => void): () => void
  /** The receipt, once there is one. */
  finished(job: string): Promise<Receipt>
  /** Stop the job as if it had never begun. False where it had ended already. */
  cancel(job: string): boolean
  /** Line the same file up again under the same name. False where it is not at hand any more or still under way. */
  retry(job: string, choices: ImportChoices): Promise<boolean>
  /** Where files taken in are kept, each under its hash. */
  readonly filesFolder: string
  /** Where a file taken in is kept, byte for byte; null where none has this hash. */
  keptFile(sha256: string): string | null
  /** Where the file of a job lies while it can be tried again; null where it does not any more. */
  fileAtHand(job: string): string | null
  /** Files that wait or are being taken in. */
  waiting(): number
  /** The disk that files are kept on. */
  disk(): Promise<{ readonly isWritable: boolean; readonly freeBytes: number }>
  /** Stop what is under way and let go of the database. */
  close(): Promise<void>
}

/** Milliseconds that a job which ended is remembered, and its file kept at hand for another try. */
const REMEMBERED = 3_600_000
/** Milliseconds between two notices of a job under way, should the worker have nothing new to say. */
const HEARTBEAT = 200
const BYTE_LIMIT = 4 * 1024 ** 3

type WorkOf<T> = Omit<T, 'job' | 'stop'>

interface Job {
  readonly id: string
  work: WorkOf<TakeFile> | WorkOf<TakeFolder> | WorkOf<Withdraw>
  progress: ImportProgress
  stop: Int32Array
  readonly listeners: Set<(progress: ImportProgress) => void>
  forget: NodeJS.Timeout | null
}

export function createIntake({ store, dataFolder, byteLimit = BYTE_LIMIT }: IntakeOptions): Intake {
  // What waits is lost with the process: nobody could ask for it any more.
  const waiting = openOwnFolder(join(dataFolder, 'waiting'))
  const filesFolder = join(dataFolder, 'files')

  const jobs = new Map<string, Job>()
  const queue: Job[] = []
  let running: Job | null = null
  let worker: Worker | null = null
  let heartbeat: NodeJS.Timeout | null = null
  let closing = false

  function tell(job: Job, change: Partial<ImportProgress>): void {
    job.progress = { ...job.progress, ...change }
    for (const listener of [...job.listeners]) listener(job.progress)
  }

  function end(job: Job, receipt: Receipt): void {
    if (running === job) running = null
    const { verdict, importId } = receipt
    // A file refused may be tried again with other choices; one that was stopped leaves nothing behind.
    const isDone = importId !== null || verdict === 'known' || verdict === 'cancelled'
    if (job.work.what === 'take-file' && isDone) rmSync(job.work.file.path, { force: true })
    job.forget = setTimeout(() => {
      jobs.delete(job.id)
      if (job.work.what === 'take-file') rmSync(job.work.file.path, { force: true })
    }, REMEMBERED)
    job.forget.unref()
    tell(job, { state: 'finished', rowsRead: receipt.rowsRead, receipt })
    next()
  }

  function fail(message: string): void {
    if (running === null) return
    end(
      running,
      withoutWorker(
        running,
        'refused',
        isDiskFull(message)
          ? DISK_FULL
          : {
              what: `The program failed while it took the file in: ${message}`,
              where: null,
              next: 'Nothing was changed. Bring the file again; if it happens again, keep the file and tell whoever runs the server.',
            },
      ),
    )
  }

  function workerAtHand(): Worker {
    if (worker !== null) return worker
    const started = startWorker({ location: store.location, filesFolder })
    started.on('message', (message: Report) => {
      if (running === null || message.job !== running.id) return
      if (message.what === 'finished') end(running, message.receipt)
      else if (message.what === 'failed') fail(message.message)
      else {
        const { state, fileName, bytesRead, bytesTotal, rowsRead } = message
        tell(running, { state, fileName, bytesRead, bytesTotal, rowsRead })
      }
    })
    started.on('error', (error) => {
      worker = null
      fail(error.message)
    })
    started.on('exit', () => {
      // After an error another thread may be at work already.
      if (worker !== started) return
      worker = null
      fail('its thread ended')
    })
    worker = started
    return started
  }

  function next(): void {
    if (running !== null || closing) return
    const job = queue.shift()
    if (heartbeat !== null) clearInterval(heartbeat)
    heartbeat = null
    if (job === undefined) return
    running = job
    heartbeat = setInterval(() => tell(job, {}), HEARTBEAT)
    heartbeat.unref()
    tell(job, { state: 'reading' })
    const order: Order = { ...job.work, job: job.id, stop: job.stop.buffer as SharedArrayBuffer }
    workerAtHand().postMessage(order)
  }

  function lineUp(work: Job['work'], fileName: string, bytesTotal: number): string {
    const job: Job = {
      id: randomUUID(),
      work,
      progress: atFirst('', fileName, bytesTotal),
      stop: new Int32Array(new SharedArrayBuffer(4)),
      listeners: new Set(),
      forget: null,
    }
    job.progress = atFirst(job.id, fileName, bytesTotal)
    jobs.set(job.id, job)
    queue.push(job)
    next()
    return job.id
  }

  return {
    async accept(body, fileName, choices) {
      if (closing) throw new Error('the intake is closed')
      const path = join(waiting.path, randomUUID())
      const file = await receive(body, path, fileName, byteLimit)
      return lineUp({ what: 'take-file', file, choices }, fileName, file.bytes)
    },

    async acceptFolder(folder, who = 'sample shop') {
      if (closing) throw new Error('the intake is closed')
      const choices = { who, takeGoodRows: false, convertUnits: false, partNumber: null, revision: null }
      return lineUp({ what: 'take-folder', folder, choices }, basename(folder), 0)
    },

    async withdraw(importId, fileName, who, reason) {
      if (closing) throw new Error('the intake is closed')
      const choices = { who, takeGoodRows: false, convertUnits: false, partNumber: null, revision: null }
      return await this.finished(lineUp({ what: 'withdraw', importId, reason, choices }, fileName, 0))
    },

    progress: (job) => jobs.get(job)?.progress ?? null,

    subscribe(id, listener) {
      const job = jobs.get(id)
      if (job === undefined) return () => undefined
      job.listeners.add(listener)
      listener(job.progress)
      return () => {
        job.listeners.delete(listener)
      }
    },

    finished(id) {
      const job = jobs.get(id)
      if (job === undefined) return Promise.reject(new Error(`there is no job ${id}`))
      return new Promise((resolve) => {
        if (job.progress.receipt !== null) {
          resolve(job.progress.receipt)
          return
        }
        const listener = (progress: ImportProgress) => {
          if (progress.receipt === null) return
          job.listeners.delete(listener)
          resolve(progress.receipt)
        }
        job.listeners.add(listener)
      })
    },

    cancel(id) {
      const job = jobs.get(id)
      if (job === undefined || job.progress.state === 'finished') return false
      Atomics.store(job.stop, 0, 1)
      const at = queue.indexOf(job)
      if (at >= 0) {
        queue.splice(at, 1)
        end(job, withoutWorker(job, 'cancelled', null))
      }
      return true
    },

    async retry(id, choices) {
      const job = jobs.get(id)
      if (job === undefined || job.progress.state !== 'finished' || job.work.what !== 'take-file')
        return false
      const { file } = job.work
      if (closing || !existsSync(file.path)) return false
      if (job.forget !== null) clearTimeout(job.forget)
      job.forget = null
      job.work = { what: 'take-file', file, choices }
      job.stop = new Int32Array(new SharedArrayBuffer(4))
      tell(job, atFirst(id, file.fileName, file.bytes))
      queue.push(job)
      next()
      return true
    },

    filesFolder,
    keptFile(sha256) {
      // A hash is all that may come in here: no path leads out of the folder.
      if (!/^[0-9a-f]{64}$/.test(sha256)) return null
      const path = join(filesFolder, sha256)
      return existsSync(path) ? path : null
    },
    fileAtHand(id) {
      const work = jobs.get(id)?.work
      return work?.what === 'take-file' && existsSync(work.file.path) ? work.file.path : null
    },

    waiting: () => queue.length + (running === null ? 0 : 1),

    async disk() {
      const isWritable = await access(dataFolder, constants.W_OK).then(
        () => true,
        () => false,
      )
      const { bavail, bsize } = await statfs(dataFolder)
      return { isWritable, freeBytes: bavail * bsize }
    },

    async close() {
      closing = true
      for (const job of queue.splice(0)) end(job, withoutWorker(job, 'cancelled', null))
      if (running !== null) {
        Atomics.store(running.stop, 0, 1)
        await this.finished(running.id)
      }
      if (heartbeat !== null) clearInterval(heartbeat)
      for (const { forget } of jobs.values()) if (forget !== null) clearTimeout(forget)
      if (worker !== null) {
        const ended = once(worker, 'exit')
        worker.postMessage({ what: 'close' } satisfies Order)
        await ended
      }
      waiting.close()
    },
  }
}

function atFirst(job: string, fileName: string, bytesTotal: number): ImportProgress {
  return { job, fileName, state: 'waiting', bytesRead: 0, bytesTotal, rowsRead: 0, receipt: null }
}

/** The receipt of a job that the worker has none for. */
function withoutWorker(job: Job, verdict: 'refused' | 'cancelled', problem: FileProblem | null): Receipt {
  const file = job.work.what === 'take-file' ? job.work.file : null
  return blankReceipt({
    verdict,
    fileName: job.progress.fileName,
    sha256: file?.sha256 ?? '',
    bytes: file?.bytes ?? job.progress.bytesTotal,
    problem,
    who: job.work.choices.who,
    at: now(),
  })
}
