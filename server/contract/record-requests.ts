import { z } from 'zod'
import { RECORD_KINDS } from '../../src/words/record-kinds.ts'
import { type RecordKind, SUBJECT_KINDS, type SubjectKind } from './record.ts'

const kinds = Object.keys(RECORD_KINDS) as [RecordKind, ...RecordKind[]]
const text = z
  .string()
  .trim()
  .min(1)
  .max(200)
  .refine((value) => !value.includes('\0'), 'A text cannot hold a NUL character.')
const moment = z.coerce.number().int().min(0).max(1e11)

/** "import:12": what kind of thing, and its identity. */
const subject = z
  .string()
  .regex(/^[a-z-]+:\d{1,10}$/, 'Give what an entry is about as kind and number: import:12.')
  .transform((written, context) => {
    const [kind = '', id = ''] = written.split(':')
    if ((SUBJECT_KINDS as readonly string[]).includes(kind) && Number(id) < 2 ** 31) {
      return { kind: kind as SubjectKind, id: Number(id) }
    }
    context.addIssue(`An entry is about ${SUBJECT_KINDS.join(', ')}.`)
    return z.NEVER
  })

/** Which entries of the record. */
const recordFilter = z.object({
  kind: z.enum(kinds).optional(),
  person: text.optional(),
  about: subject.optional(),
  /** Seconds since 1970-01-01 UTC, both inclusive. */
  from: moment.optional(),
  to: moment.optional(),
  text: text.optional(),
})

export const recordQuery = recordFilter.extend({
  /** Only entries with lower numbers: the next page. */
  before: z.coerce
    .number()
    .int()
    .min(1)
    .max(2 ** 31)
    .optional(),
  limit: z.coerce.number().int().min(1).max(500).default(100),
})

export const recordFileQuery = recordFilter.extend({ format: z.enum(['csv', 'json']) })

export const recordVerifyQuery = z.object({
  /** Hash of an earlier head. */
  expect: z
    .string()
    .trim()
    .toLowerCase()
    .regex(/^[0-9a-f]{64}$/, 'A head is 64 hexadecimal digits.')
    .optional(),
  /** Read the kept files too. */
  files: z.stringbool({ truthy: ['true'], falsy: ['false'] }).default(false),
})

export const reportRecordQuery = recordQuery.pick({ before: true, limit: true }).extend({
  /** Identity of a characteristic; without it, those of the whole report. */
  characteristic: z.coerce
    .number()
    .int()
    .min(1)
    .max(2 ** 31 - 1)
    .optional(),
})
