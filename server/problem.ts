import type { Hook } from '@hono/zod-validator'
import type { Context, Env, ErrorHandler, NotFoundHandler } from 'hono'
import { HTTPException } from 'hono/http-exception'
import type { ContentfulStatusCode } from 'hono/utils/http-status'
import type { Problem } from './contract/problem.ts'
import { DISK_FULL, isDiskFull } from './disk-full.ts'
import { FileProblemError } from './intake/faults.ts'
import { BusyDatabaseError } from './store/errors.ts'

export type { Problem } from './contract/problem.ts'

/** An error whose text is meant for the person who asked. */
export class ProblemError extends Error {
  override readonly name = 'ProblemError'
  readonly status: ContentfulStatusCode
  readonly problem: Problem

  constructor(status: ContentfulStatusCode, problem: Problem) {
    super(problem.what)
    this.status = status
    this.problem = problem
  }
}

/** Something that an address names and the store does not have. */
export function notFound(what: string, next: string): ProblemError {
  return new ProblemError(404, { what, where: null, next })
}

/** For `zValidator`: turns the first fault that a schema finds into a problem. */
export const explainFault: Hook<unknown, Env, string> = (result, c) => {
  if (result.success) return undefined
  const fault = result.error.issues[0]
  const problem: Problem = {
    what: fault?.message ?? 'The request cannot be read.',
    where: fault === undefined ? null : fault.path.join('.'),
    next: 'Correct the value and ask again.',
  }
  return c.json({ error: problem }, 400)
}

export const answerError: ErrorHandler = (error, c) => {
  if (error instanceof ProblemError) return c.json({ error: error.problem }, error.status)
  // The only file problem that shows before a job exists: the body is larger than the limit.
  if (error instanceof FileProblemError) return c.json({ error: error.problem }, 413)
  if (error instanceof BusyDatabaseError) {
    return c.json({ error: { what: error.message, where: null, next: 'Try again in a few minutes.' } }, 503)
  }
  // 507 Insufficient Storage: RFC 4918, section 11.5.
  if (isDiskFull(error)) {
    // The rest of a body is not read any more.
    return c.json({ error: DISK_FULL }, 507, { Connection: 'close' })
  }
  if (error instanceof HTTPException) {
    return c.json({ error: { what: error.message, where: null, next: 'Correct the request.' } }, error.status)
  }
  c.get('log').error({ err: error }, 'failed')
  const problem: Problem = {
    what: 'The server could not do this.',
    where: null,
    next: `Nothing was changed. Try again; if it happens again, tell whoever runs the server, with the number ${c.get('requestId')}.`,
  }
  return c.json({ error: problem }, 500)
}

export const answerNotFound: NotFoundHandler = (c: Context) =>
  c.json(
    { error: { what: 'There is nothing at this address.', where: c.req.path, next: 'Check the address.' } },
    404,
  )
