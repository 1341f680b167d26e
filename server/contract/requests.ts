import { z } from 'zod'
import { STAGES } from '../../src/domain/cell.ts'

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
})

export const importChoices = z.object({
  who: name,
  takeGoodRows: z.boolean(),
  convertUnits: z.boolean(),
  partNumber: name.nullable(),
  revision: name.nullable(),
})

export const importId = z.object({ id: z.coerce.number().int().min(1) })
