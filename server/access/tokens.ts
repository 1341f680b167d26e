import { createHash, randomBytes } from 'node:crypto'

/** Bytes of chance in a token. So many cannot be guessed, so that a plain hash of them needs no salt nor stretching. */
const BYTES = 32

/** So that a token that got lost in a file is known for what it is. */
const PREFIX = 'sintered_'

/** A new token. It is shown once; only its hash is kept. */
export function newToken(): string {
  return PREFIX + randomBytes(BYTES).toString('base64url')
}

/** What is kept of a token. */
export function tokenHash(token: string): string {
  return createHash('sha256').update(token).digest('hex')
}
