import { ask } from './http.ts'

const heard = new Set<() => void>()

/** Calls back after every decision, this reader's or one that got in its way; returns a way to stop. */
export function onDecided(listener: () => void): () => void {
  heard.add(listener)
  return () => heard.delete(listener)
}

/** What was decided has changed on the server: whatever shows it is read anew. */
export function tellDecided(): void {
  for (const listener of heard) listener()
}

/**
 * Sends a decision, or a question about one, as JSON.
 *
 * @throws RequestError where the server refuses or cannot be reached
 */
export function send<T>(address: string, body: unknown): Promise<T> {
  return ask<T>(address, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
}
