import { realpathSync } from 'node:fs'
import { BroadcastChannel } from 'node:worker_threads'

/** Tells all connections of this process to one file, on whichever thread, that something was committed. */
export interface Notices {
  /** Something was committed here. */
  tell(): void
  onChange(listener: () => void): () => void
  close(): void
}

/** @param file path of the database, which is there; ":memory:" is nobody else's */
export function noticesOf(file: string): Notices {
  const listeners = new Set<() => void>()
  const call = () => {
    for (const listener of [...listeners]) listener()
  }
  const channel = file === ':memory:' ? null : new BroadcastChannel(`as-sintered ${realpathSync(file)}`)
  if (channel !== null) {
    channel.onmessage = call
    // A process is not kept alive by waiting for notices.
    channel.unref()
  }
  return {
    tell() {
      // A channel does not hear itself.
      call()
      channel?.postMessage(null)
    },
    onChange(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    close() {
      listeners.clear()
      channel?.close()
    },
  }
}
