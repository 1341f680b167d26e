import { z } from 'zod'

/** What a backup states of itself, written last of all: a folder without it is no backup. */
export const MANIFEST = 'backup.json'
export const DATABASE_FILE = 'as-sintered.sqlite'
export const FILES_FOLDER = 'files'

const hash = z.string().regex(/^[0-9a-f]{64}$/)

export const manifest = z.object({
  kind: z.literal('as-sintered backup'),
  version: z.literal(1),
  /** Seconds since 1970-01-01 UTC. */
  madeAt: z.number(),
  /** SHA-256 of the database file. */
  database: hash,
  /** Last entry of the record; null where there is none. */
  head: z.object({ sequence: z.number(), hash }).nullable(),
  /** SHA-256 of the kept files that the backup holds, and of those that it only names. */
  files: z.array(hash),
  filesNotHeld: z.array(hash),
})

export type Manifest = z.infer<typeof manifest>

/** Why a backup was not made, or not restored; the message is for people. */
export class BackupError extends Error {
  override readonly name: string = 'BackupError'
}
