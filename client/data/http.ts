import type { Problem } from '../../server/contract/problem.ts'

export type { Problem }

/** A request that came to nothing: refused by the server (`status` is its answer) or never heard (`status` is null). */
export class RequestError extends Error {
  override readonly name = 'RequestError'
  readonly problem: Problem
  readonly status: number | null

  constructor(problem: Problem, status: number | null) {
    super(problem.what)
    this.problem = problem
    this.status = status
  }
}

const UNHEARD: Problem = {
  what: 'The server cannot be reached.',
  where: null,
  next: 'Nothing is lost: what is on this page stays. Check the network and try again.',
}

const unauthorised = new Set<() => void>()

/** Calls back whenever the server refuses because nobody is signed in. */
export function onUnauthorised(listener: () => void): void {
  unauthorised.add(listener)
}

/**
 * Asks the server and reads its answer as JSON.
 *
 * @throws RequestError where the server refuses or cannot be reached; an AbortError where `signal` stops it
 */
export async function ask<T>(address: string, init: RequestInit = {}): Promise<T> {
  return (await askVersioned<T>(address, init)).value
}

/** An answer, and the state of the record that it was read from, or a later one; null where the server did not tell. */
export interface VersionedAnswer<T> {
  readonly value: T
  readonly text: string
  readonly version: string | null
}

/** As `ask`, with the version. */
export async function askVersioned<T>(address: string, init: RequestInit = {}): Promise<VersionedAnswer<T>> {
  let answer: Response
  try {
    answer = await fetch(address, { ...init, headers: { accept: 'application/json', ...init.headers } })
  } catch (error) {
    if (error instanceof DOMException && error.name === 'AbortError') throw error
    throw new RequestError(UNHEARD, null)
  }
  const text = await answer.text()
  if (answer.status === 401) for (const listener of unauthorised) listener()
  if (!answer.ok) throw new RequestError(problemIn(text, answer.status), answer.status)
  // Done, and nothing to say of it.
  const value = (text === '' ? undefined : JSON.parse(text)) as T
  return { value, text, version: answer.headers.get('x-record-version') }
}

/**
 * Asks the server for a file, with the name that it gives it.
 *
 * @throws RequestError where the server refuses or cannot be reached
 */
export async function askFile(address: string, init: RequestInit = {}): Promise<File> {
  let answer: Response
  try {
    answer = await fetch(address, init)
  } catch {
    throw new RequestError(UNHEARD, null)
  }
  if (answer.status === 401) for (const listener of unauthorised) listener()
  if (!answer.ok) throw new RequestError(problemIn(await answer.text(), answer.status), answer.status)
  const name = /filename\*=UTF-8''([^;]+)/.exec(answer.headers.get('content-disposition') ?? '')?.[1]
  return new File([await answer.blob()], name === undefined ? 'file' : decodeURIComponent(name))
}

/** The problem that an answer tells of, in general words where it holds none. */
export function problemIn(text: string, status: number): Problem {
  try {
    const { error } = JSON.parse(text) as { error?: Partial<Problem> }
    if (typeof error?.what === 'string') {
      return { what: error.what, where: error.where ?? null, next: error.next ?? 'Try again.' }
    }
  } catch {
    // Not JSON: some server between here and there has answered.
  }
  return { what: `The server answered with error ${status}.`, where: null, next: 'Try again.' }
}

/** Whether the same request may well be answered a moment later: nobody heard it, or the server could not take it now. */
export function mayPass(error: unknown): boolean {
  return error instanceof RequestError && (error.status === null || [502, 503, 504].includes(error.status))
}

/** The problem in an error of any kind. */
export function problemOf(error: unknown): Problem {
  if (error instanceof RequestError) return error.problem
  return { what: error instanceof Error ? error.message : String(error), where: null, next: 'Try again.' }
}

export function unheard(): RequestError {
  return new RequestError(UNHEARD, null)
}
