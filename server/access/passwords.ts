import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto'
import { ProblemError } from '../problem.ts'

/**
 * Cost of scrypt (RFC 7914): N = 2^15, r = 8, p = 3, which takes 32 MiB and some 0.2 s a time. One of the settings of
 * equal strength that the OWASP Password Storage Cheat Sheet gives; the one with less memory, for small machines.
 */
const COST = { N: 2 ** 15, r: 8, p: 3 } as const
const SALT_BYTES = 16
const KEY_BYTES = 32

/** The least length that NIST SP 800-63B (revision 4) would have is 15, or 8 beside a second factor. */
const LEAST_CHARACTERS = 12
const MOST_CHARACTERS = 200
const LEAST_DIFFERENT = 5

/** What is computed at once, and what may wait: the threads serve files and databases too. */
const AT_ONCE = 2
const WAITING = 30

/** What is wrong with a password that somebody wants; null where nothing is. */
export function passwordFault(password: string, name: string): string | null {
  const characters = [...normal(password)]
  if (characters.length < LEAST_CHARACTERS) {
    return `A password has at least ${LEAST_CHARACTERS} characters; a few words of a sentence are easy to keep in mind.`
  }
  if (characters.length > MOST_CHARACTERS) return `A password has at most ${MOST_CHARACTERS} characters.`
  if (new Set(characters).size < LEAST_DIFFERENT)
    return 'A password of so few different characters is guessed.'
  const plain = (text: string) => normal(text).toLowerCase().replace(/\s+/g, '')
  if (plain(password).replaceAll(plain(name), '').length < LEAST_CHARACTERS / 2) {
    return 'A password that is made of the name is guessed.'
  }
  return null
}

/** What is kept of a password: scheme, cost, salt and key. */
export async function hashPassword(password: string): Promise<string> {
  const salt = randomBytes(SALT_BYTES)
  const key = await derive(password, salt, COST)
  return ['scrypt', COST.N, COST.r, COST.p, salt.toString('base64url'), key.toString('base64url')].join(':')
}

/** Kept for nobody: checking against it takes as long as against a real one. */
const NOBODYS = ['scrypt', COST.N, COST.r, COST.p, 'AAAAAAAAAAAAAAAAAAAAAA', 'A'.repeat(43)].join(':')

/**
 * Whether a password is the one that was kept, in a time that does not depend on either.
 *
 * @param kept null where there is none: false then, after the same time
 */
export async function passwordMatches(password: string, kept: string | null): Promise<boolean> {
  const [scheme, N, r, p, salt, key] = (kept ?? NOBODYS).split(':')
  if (scheme !== 'scrypt' || salt === undefined || key === undefined) {
    throw new Error('A password on record is kept in a way that this program does not know.')
  }
  const cost = { N: Number(N), r: Number(r), p: Number(p) }
  const derived = await derive(password, Buffer.from(salt, 'base64url'), cost)
  return timingSafeEqual(derived, Buffer.from(key, 'base64url')) && kept !== null
}

/** The same password however the keyboard composes its characters (NIST SP 800-63B, 3.1.1.2). */
function normal(password: string): string {
  return password.normalize('NFKC')
}

let running = 0
const line: (() => void)[] = []

async function derive(
  password: string,
  salt: Buffer,
  cost: { readonly N: number; readonly r: number; readonly p: number },
): Promise<Buffer> {
  if (running >= AT_ONCE) {
    if (line.length >= WAITING) {
      throw new ProblemError(503, {
        what: 'Too many people are signing in at this moment.',
        where: null,
        next: 'Try again in a minute.',
      })
    }
    await new Promise<void>((resolve) => line.push(resolve))
  }
  running++
  try {
    return await new Promise<Buffer>((resolve, reject) => {
      const maxmem = 2 * 128 * cost.N * cost.r
      scrypt(normal(password), salt, KEY_BYTES, { ...cost, maxmem }, (error, key) =>
        error === null ? resolve(key) : reject(error),
      )
    })
  } finally {
    running--
    line.shift()?.()
  }
}
