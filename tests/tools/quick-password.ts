import { scryptSync } from 'node:crypto'

/** What is kept of a password, at next to no cost: for tests in which many people sign in. */
export function quickPassword(password: string): string {
  const salt = Buffer.alloc(16, 7)
  const key = scryptSync(password.normalize('NFKC'), salt, 32, { N: 16, r: 8, p: 1 })
  return ['scrypt', 16, 8, 1, salt.toString('base64url'), key.toString('base64url')].join(':')
}
