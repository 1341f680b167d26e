import type { ImportChoices, ImportProgress, Receipt } from '../../server/contract/receipt.ts'
import { type Problem, problemOf, RequestError } from './http.ts'
import { withAnswers } from './intake-answers.ts'

/**
 * waiting: its turn has not come. sending: bytes are on their way. working: the server reads and writes.
 * done: there is a receipt. failed: there is none, and `problem` says why.
 */
export type IntakeState = 'waiting' | 'sending' | 'working' | 'done' | 'failed' | 'stopped'

/** One file on its way in. */
export interface IntakeItem {
  readonly key: number
  /** Files handed in together have the same number; later ones a higher. */
  readonly batch: number
  readonly name: string
  readonly bytes: number
  readonly state: IntakeState
  readonly sent: number
  readonly progress: ImportProgress | null
  readonly receipt: Receipt | null
  readonly problem: Problem | null
  readonly choices: ImportChoices
}

/** How the queue speaks to the server; a test gives its own. */
export interface IntakeChannel {
  send(
    file: File,
    choices: ImportChoices,
    onBytes: (sent: number) => void,
    signal: AbortSignal,
  ): Promise<ImportProgress>
  watch(
    job: string,
    onProgress: (progress: ImportProgress) => void,
    signal: AbortSignal,
  ): Promise<ImportProgress>
  retry(job: string, choices: ImportChoices): Promise<ImportProgress>
  cancel(job: string): Promise<ImportProgress>
  sample(): Promise<ImportProgress>
}

/** Files handed in, one after the other, however the reader moves about the page meanwhile. */
export interface IntakeQueue {
  items(): readonly IntakeItem[]
  /** Calls back after every change; returns a way to stop. */
  subscribe(listener: () => void): () => void
  /**
   * @param more with `preview`, each file is shown as it would be read before it is taken in; `doubts` are decided
   * beforehand, and nobody is asked about them
   * @returns the keys of its items
   */
  add(
    files: readonly File[],
    who: string,
    more?: Pick<ImportChoices, 'preview' | 'doubts'>,
  ): readonly number[]
  addSample(who: string): void
  /** Tries again, with other choices where given; sends the file anew where the server has forgotten it. */
  again(key: number, choices?: Partial<ImportChoices>): void
  stop(key: number): void
  /** Takes a finished one off the list; its receipt stays on record. */
  dismiss(key: number): void
}

interface Entry {
  item: IntakeItem
  readonly file: File | null
  job: string | null
  /** How the next turn begins. */
  start: 'send' | 'retry' | 'watch'
  /** True where the last turn sent the bytes, and not only what was decided. */
  isSentAnew: boolean
  abort: AbortController | null
}

/** @param onFinished is told of every receipt, so that what the page shows can be read anew */
export function createIntakeQueue(
  channel: IntakeChannel,
  onFinished: (receipt: Receipt) => void,
): IntakeQueue {
  const entries: Entry[] = []
  const listeners = new Set<() => void>()
  let snapshot: readonly IntakeItem[] = []
  let nextKey = 1
  let batch = 0
  let busy = false

  const tell = () => {
    snapshot = entries.map((entry) => entry.item)
    for (const listener of listeners) listener()
  }
  const set = (entry: Entry, patch: Partial<IntakeItem>) => {
    entry.item = { ...entry.item, ...patch }
    tell()
  }
  const find = (key: number) => entries.find((entry) => entry.item.key === key)

  const push = (
    name: string,
    file: File | null,
    who: string,
    more: Pick<ImportChoices, 'preview' | 'doubts'> = {},
  ): number => {
    const key = nextKey++
    entries.push({
      item: {
        key,
        batch,
        name,
        bytes: file?.size ?? 0,
        state: 'waiting',
        sent: 0,
        progress: null,
        receipt: null,
        problem: null,
        choices: {
          who,
          takeGoodRows: false,
          convertUnits: false,
          partNumber: null,
          revision: null,
          ...more,
        },
      },
      file,
      job: null,
      start: 'send',
      isSentAnew: false,
      abort: null,
    })
    return key
  }

  const begin = async (entry: Entry, signal: AbortSignal): Promise<ImportProgress> => {
    const { choices } = entry.item
    entry.isSentAnew = false
    if (entry.start === 'watch' && entry.job !== null && entry.item.progress !== null)
      return entry.item.progress
    if (entry.start === 'retry' && entry.job !== null) {
      try {
        return await channel.retry(entry.job, choices)
      } catch (error) {
        // Forgotten by the server, for it was started anew: the file is still here.
        if (!(error instanceof RequestError && error.status === 404 && entry.file !== null)) throw error
      }
    }
    if (entry.file === null) return channel.sample()
    set(entry, { state: 'sending', sent: 0 })
    entry.isSentAnew = true
    return channel.send(entry.file, choices, (sent) => set(entry, { sent }), signal)
  }

  const run = async (entry: Entry) => {
    const abort = new AbortController()
    entry.abort = abort
    // A receipt read before stays until there is a new one, so that a lost connection loses nothing.
    set(entry, { state: 'sending', problem: null })
    try {
      const started = await begin(entry, abort.signal)
      entry.job = started.job
      entry.start = 'watch'
      set(entry, { state: 'working', progress: started })
      const watched = (job: ImportProgress) =>
        job.state === 'finished'
          ? Promise.resolve(job)
          : channel.watch(job.job, (progress) => set(entry, { progress }), abort.signal)
      let last = await watched(started)
      const { choices } = entry.item
      // What was said of layout and doubts does not go with the bytes: it is told once the file is there.
      const isOpen = last.receipt?.verdict === 'asking' || last.receipt?.verdict === 'refused'
      if (entry.isSentAnew && isOpen && (choices.doubts != null || choices.layout != null)) {
        last = await watched(await channel.retry(started.job, choices))
      }
      set(entry, { state: 'done', progress: last, receipt: last.receipt })
      if (last.receipt !== null) onFinished(last.receipt)
    } catch (error) {
      if (abort.signal.aborted) set(entry, { state: 'stopped' })
      else {
        // Once the server has forgotten the job, watching it again would never help.
        if (error instanceof RequestError && error.status === 404) entry.start = 'send'
        set(entry, { state: 'failed', problem: problemOf(error) })
      }
    } finally {
      entry.abort = null
    }
  }

  const turn = async () => {
    if (busy) return
    busy = true
    try {
      for (let next = entries.find(isWaiting); next !== undefined; next = entries.find(isWaiting))
        await run(next)
    } finally {
      busy = false
    }
  }

  return {
    items: () => snapshot,
    subscribe(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    add(files, who, more) {
      batch++
      const keys = files.map((file) => push(file.name, file, who, more))
      tell()
      void turn()
      return keys
    },
    addSample(who) {
      batch++
      push('sample shop', null, who)
      tell()
      void turn()
    },
    again(key, choices) {
      const entry = find(key)
      if (entry === undefined || entry.abort !== null) return
      if (choices !== undefined) entry.start = 'retry'
      else if (entry.item.state !== 'failed') entry.start = 'send'
      set(entry, { state: 'waiting', problem: null, choices: withAnswers(entry.item.choices, choices ?? {}) })
      void turn()
    },
    stop(key) {
      const entry = find(key)
      if (entry === undefined) return
      if (entry.abort === null) {
        if (entry.item.state === 'waiting') set(entry, { state: 'stopped' })
      } else if (entry.job !== null && entry.item.state === 'working') {
        // The server answers through the progress: finished, with the verdict "cancelled" or with what came first.
        channel.cancel(entry.job).catch((error: unknown) => set(entry, { problem: problemOf(error) }))
      } else entry.abort.abort()
    },
    dismiss(key) {
      const at = entries.findIndex((entry) => entry.item.key === key && entry.abort === null)
      if (at !== -1) entries.splice(at, 1)
      tell()
    },
  }
}

function isWaiting(entry: Entry): boolean {
  return entry.item.state === 'waiting'
}
