import { z } from 'zod'
import { STAGES } from '../../src/domain/cell.ts'

/** Schemas of what the interface accepts about reports. Answers are typed in report.ts. */

const build = z.string().trim().min(1).max(200)

const wanted = {
  stage: z.enum(STAGES as ['green', 'sintered', 'finished']).default('sintered'),
  /** The least Ppk of all, in the place of what the customer asks of each. */
  required: z.coerce.number().min(0.1).max(10).optional(),
  /** As a fraction, in the place of what the customer asks. */
  confidence: z.coerce.number().min(0.5).max(0.999).optional(),
  /** Only the last so many builds of the span. */
  last: z.coerce.number().int().min(1).max(100_000).optional(),
  /** Names of the first and last build; from the first and to the last on record without them. */
  from: build.optional(),
  to: build.optional(),
  title: z.string().trim().min(1).max(200).optional(),
}

const file = {
  format: z.enum(['pdf', 'html', 'csv', 'xlsx', 'json']).default('pdf'),
  paper: z.enum(['a4', 'letter']).default('a4'),
}

export const newReport = z.object({
  ...wanted,
  who: z.string().trim().min(1, 'Say who makes the report.').max(200),
})

export const reportQuery = z.object({ ...wanted, ...file })

export const reportFileQuery = z.object(file)

export const reportNumber = z.object({
  report: z.coerce
    .number()
    .int()
    .min(1)
    .max(2 ** 31),
})
