import { createHash, randomBytes } from 'node:crypto'

/** Bytes of chance in a secret. So many cannot be guessed, so that a plain hash of them needs no salt nor stretching. */
const BYTES = 32

/** A new secret. It is shown once; only its hash is kept. */
export function newSecret(): string {
  return randomBytes(BYTES).toString('base64url')
}

/** A new token of a machine, with a prefix so that one that got lost in a file is known for what it is. */
export function newToken(): string {
  return `sintered_${newSecret()}`
}

/** What is kept of a secret. */
export function secretHash(secret: string): string {
  return createHash('sha256').update(secret).digest('hex')
}
