import type { MiddlewareHandler } from 'hono'
import { ProblemError } from '../problem.ts'
import { matchedRule } from './matched-rule.ts'

const MEBIBYTE = 1024 ** 2
/** Greatest body of a request that brings no file; choices about a hundred thousand doubtful rows are the largest. */
const LARGEST = 16 * MEBIBYTE
/** Milliseconds in which such a body has to be there. */
const LONGEST = 30_000

/**
 * Reads the body of a request before anything is done for it: no more than 16 MiB, in no more than 30 s. Routes that take
 * files bound them by themselves (`body: 'a file'` in the table of routes and roles).
 */
export function boundedBodies(largest = LARGEST, longest = LONGEST): MiddlewareHandler {
  return async (c, next) => {
    const { method } = c.req
    const takesFile = matchedRule(c)?.body === 'a file'
    const { body } = c.req.raw
    if (method === 'GET' || method === 'HEAD' || takesFile || body === null) return await next()
    if (Number(c.req.header('content-length') ?? 0) > largest) throw tooLarge(largest)
    const bytes = await readAll(body, largest, longest)
    c.req.raw = new Request(c.req.raw, { body: bytes })
    return await next()
  }
}

async function readAll(
  body: ReadableStream<Uint8Array>,
  largest: number,
  longest: number,
): Promise<Uint8Array<ArrayBuffer>> {
  const reader = body.getReader()
  let late = false
  const timer = setTimeout(() => {
    late = true
    void reader.cancel()
  }, longest)
  const chunks: Uint8Array[] = []
  let size = 0
  try {
    for (;;) {
      const { done, value } = await reader.read()
      if (late) throw tooSlow(longest)
      if (done) return new Uint8Array(Buffer.concat(chunks))
      size += value.length
      if (size > largest) {
        void reader.cancel()
        throw tooLarge(largest)
      }
      chunks.push(value)
    }
  } finally {
    clearTimeout(timer)
  }
}

function tooLarge(largest: number): ProblemError {
  return new ProblemError(413, {
    what: `The request is larger than ${largest / MEBIBYTE} MiB, the most that is taken here.`,
    where: null,
    next: 'Send less at a time; files are brought to the intake.',
  })
}

function tooSlow(longest: number): ProblemError {
  return new ProblemError(408, {
    what: `The request was not there after ${longest / 1000} s.`,
    where: null,
    next: 'Try again over a better connection.',
  })
}
