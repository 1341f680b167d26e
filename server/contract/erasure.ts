import { z } from 'zod'

/** What must go, for good. */

const text = (most: number, what: string) =>
  z
    .string()
    .trim()
    .min(1, { error: `Say ${what}.` })
    .max(most, { error: `Keep it below ${most} characters.` })
    .refine((value) => !value.includes('\0'), 'A text cannot hold a NUL character.')

const parts = z.object({
  what: z.literal('parts'),
  partNumber: text(200, 'which part number'),
  revision: text(200, 'which revision'),
  serials: z.array(text(200, 'which serial number')).min(1, 'Give a serial number.').max(500),
  /** The kept files that they came in as well. */
  files: z.boolean().default(false),
})

const person = z.object({ what: z.literal('person'), name: text(200, 'whose name') })

const files = z.object({
  what: z.literal('files'),
  imports: z
    .array(
      z
        .number()
        .int()
        .min(1)
        .max(2 ** 31 - 1),
    )
    .min(1, 'Give an import.')
    .max(500),
})

const erasureWanted = z.discriminatedUnion('what', [parts, person, files])

export type ErasureWanted = z.infer<typeof erasureWanted>

/** POST /api/record/erasures; with `preview`, only what it would take. */
export const erasureRequest = z.object({
  wanted: erasureWanted,
  preview: z.boolean().default(false),
  who: text(200, 'who decides'),
  reason: text(2000, 'why'),
})

/** What an erasure took, or would take. */
export interface ErasureDone {
  /** Sequence of its entry in the record. */
  readonly entry: number
  readonly parts: number
  readonly measurements: number
  /** Imports that the measurements came with, whose kept files hold them unless they were erased as well. */
  readonly imports: readonly number[]
  /** Hashes of the kept files that go. */
  readonly files: readonly string[]
  /** Rows in which something was replaced. */
  readonly rows: number
  /** Entries of the record whose words were replaced. */
  readonly entries: number
  /** What stands in the place of a person's name; null where it was no person. */
  readonly pseudonym: string | null
  /** Reports that name what had to go; they stay as they were given out. */
  readonly reports: readonly number[]
}
