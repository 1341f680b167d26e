import type { Context } from 'hono'
import { now } from '../clock.ts'
import type { Doing } from '../store/people.ts'

/**
 * The name that goes on record for what a request does: that of the person or the machine that is signed in, whatever the
 * request says; what the request says only for the single user, who is not signed in.
 */
export function signerOf(c: Context, said: string): string {
  const caller = c.get('caller')
  return caller.kind === 'person' || caller.kind === 'machine' ? caller.name : said
}

/** When a request is carried out, and by whom; null for the single user where the request says no name. */
export function doingOf(c: Context, said = ''): Doing {
  const name = signerOf(c, said)
  return { at: now(), who: name === '' ? null : name }
}

/** What a request asks for, with the name that goes on record for it. */
export function signed<T extends { readonly who: string }>(c: Context, request: T): T {
  return { ...request, who: signerOf(c, request.who) }
}
