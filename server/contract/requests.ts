import { z } from 'zod'
import { STAGES } from '../../src/domain/cell.ts'
import type { DoubtKind } from './receipt.ts'

/** Schemas of what the interface accepts. Answers are typed in views.ts and receipt.ts. */

const stage = z.enum(STAGES as ['green', 'sintered', 'finished']).default('sintered')

/** A switch in an address: "true" or "false". */
const flag = z.stringbool({ truthy: ['true'], falsy: ['false'] }).default(false)

const name = z.string().trim().min(1).max(200)

export const stageQuery = z.object({ stage })

export const capabilityQuery = z.object({
  stage,
  /** The least Ppk asked for. */
  required: z.coerce.number().min(0.1).max(10).default(1.33),
  /** As a fraction. */
  confidence: z.coerce.number().min(0.5).max(0.999).default(0.95),
  /** Only the last so many builds; all without it. */
  last: z.coerce.number().int().min(1).max(100_000).optional(),
})

export const importQuery = z.object({
  /** The file's name, for the receipt. */
  name: z.string().trim().min(1).max(400),
  who: name.default('not named'),
  takeGoodRows: flag,
  convertUnits: flag,
  partNumber: name.optional(),
  revision: name.optional(),
  build: name.optional(),
  /** Show how the beginning of the file would be read; take nothing in. */
  preview: flag,
})

const doubtKinds = [
  'unit',
  'decimal-point',
  'digits',
  'sign',
  'exchanged',
  'measured-before',
  'build-known',
  'before-build',
  'missing',
] as const satisfies readonly DoubtKind[]

const decision = z.enum(['keep', 'leave-out'])

const place = z.number().int().min(1)

const layoutChoices = z.object({
  shape: z.enum(['measurement-a-row', 'part-a-row', 'characteristic-a-row', 'blocks']).optional(),
  headingLine: place.optional(),
  columns: z.record(z.string().regex(/^[1-9]\d{0,4}$/), z.string().max(40)).optional(),
  decimalMark: z.enum(['.', ',']).optional(),
  dateOrder: z.enum(['day-month', 'month-day']).optional(),
  values: z.enum(['actual', 'deviation']).optional(),
})

const doubtChoices = z.object({
  all: z.literal('keep').optional(),
  kinds: z.partialRecord(z.enum(doubtKinds), decision).optional(),
  rows: z
    .array(z.object({ line: place, position: place.nullable(), decision }))
    .max(100_000)
    .optional(),
})

/** Why, and by whom, an import is taken out again. */
export const withdrawal = z.object({ who: name, reason: z.string().trim().min(1).max(1000) })

export const importChoices = z.object({
  who: name,
  takeGoodRows: z.boolean(),
  convertUnits: z.boolean(),
  partNumber: name.nullable(),
  revision: name.nullable(),
  build: name.nullish(),
  preview: z.boolean().optional(),
  layout: layoutChoices.nullish(),
  doubts: doubtChoices.nullish(),
})

export const importId = z.object({ id: z.coerce.number().int().min(1) })
