import type { Context } from 'hono'
import { type SSEStreamingApi, streamSSE } from 'hono/streaming'
import { ProblemError } from '../problem.ts'

/** Event streams open at once: each holds a connection. */
const MOST_OPEN = 512
/** Milliseconds after which a stream ends; browsers connect again by themselves, and are asked who they are. */
const LONGEST = 30 * 60_000

let open = 0

/**
 * As `streamSSE`, with a bound to how many there are and how long each lasts.
 *
 * @throws ProblemError 503 where there are too many
 */
export function eventStream(
  c: Context,
  write: (stream: SSEStreamingApi) => Promise<void>,
  most = MOST_OPEN,
): Response {
  if (open >= most) {
    c.header('Retry-After', '60')
    throw new ProblemError(503, {
      what: `${most} pages are being kept up to date already, which is the most.`,
      where: null,
      next: 'Load the page anew to bring it up to date.',
    })
  }
  // Of which nobody would ever read the stream.
  if (c.req.method === 'HEAD') return c.body(null, 200, { 'Content-Type': 'text/event-stream' })
  open++
  return streamSSE(c, async (stream) => {
    const timer = setTimeout(() => stream.abort(), LONGEST)
    try {
      await write(stream)
    } finally {
      clearTimeout(timer)
      open--
    }
  })
}

/** Event streams open at this moment. */
export function openEventStreams(): number {
  return open
}
