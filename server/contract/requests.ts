import { z } from 'zod'
import { LIMIT_EXPECTED, limitFromText } from '../../src/capability/supposed-limit.ts'
import { REPEAT_CHOICES } from '../../src/charts/repeats.ts'
import { ALL_TESTS, type TestId } from '../../src/charts/tests.ts'
import { STAGES } from '../../src/domain/cell.ts'
import { FINDING_STATES, FINDING_VERIFIED } from '../../src/domain/finding.ts'
import type { DoubtKind } from './receipt.ts'

/** Schemas of what the interface accepts. Answers are typed in views.ts and receipt.ts. */

const stage = z.enum(STAGES as ['green', 'sintered', 'finished']).default('sintered')

/** A switch in an address: "true" or "false". */
const flag = z
  .stringbool({ truthy: ['true'], falsy: ['false'] })
  .default(false)
  .meta({ enum: ['true', 'false'] })

/** PostgreSQL keeps no NUL in a text, and no name needs one. */
const withoutNul = (text: string) => !text.includes('\0')

const name = z.string().trim().min(1).max(200).refine(withoutNul, 'A name cannot hold a NUL character.')

export const stageQuery = z.object({ stage })

/** A stage, and only the last so many builds; all without it. */
export const spanQuery = z.object({ stage, last: z.coerce.number().int().min(1).max(100_000).optional() })

export const capabilityQuery = z.object({
  stage,
  /** The least Ppk of all, in the place of what the customer asks of each. */
  required: z.coerce.number().min(0.1).max(10).optional(),
  /** As a fraction, in the place of what the customer asks. */
  confidence: z.coerce.number().min(0.5).max(0.999).optional(),
  /** Only the last so many builds; all without it. */
  last: z.coerce.number().int().min(1).max(100_000).optional(),
})

const limit = z
  .string()
  .max(40)
  .refine((text) => limitFromText(text) !== undefined, LIMIT_EXPECTED)
  .optional()

/** What is supposed of a characteristic; a limit that is left out stays as it is, an empty one is none. */
export const whatIfQuery = capabilityQuery.extend({
  centred: flag,
  alike: flag,
  lower: limit,
  upper: limit,
})

export const importQuery = z.object({
  /** The file's name, for the receipt. */
  name: z.string().trim().min(1).max(400).refine(withoutNul, 'A name cannot hold a NUL character.'),
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
  headingLine: z.number().int().min(0).optional(),
  columns: z.record(z.string().regex(/^[1-9]\d{0,4}$/), z.string().max(40)).optional(),
  decimalMark: z.enum(['.', ',']).optional(),
  dateOrder: z.enum(['day-month', 'month-day']).optional(),
  values: z.enum(['actual', 'deviation']).optional(),
})

const doubtChoices = z.object({
  all: z.literal('keep').optional(),
  kinds: z.partialRecord(z.enum(doubtKinds), decision).optional(),
  rows: z
    .array(z.object({ kind: z.enum(doubtKinds), line: place, position: place.nullable(), decision }))
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

/** One part, at a stage. */
export const partQuery = z.object({ stage, serial: name })

/** One value of a characteristic in a build. */
export const valueQuery = z.object({
  stage,
  serial: name,
  replicate: z.coerce.number().int().min(0).default(1),
})

/** A line of a file, counted from 1. */
export const lineOf = z.object({ line: z.coerce.number().int().min(1) })

export const lineQuery = z.object({
  /** Column of the cell that is meant, counted from 1, or "value"; without it the row as a whole is meant. */
  position: z.union([z.literal('value'), z.coerce.number().int().min(1)]).optional(),
})

/** Decisions. Builds go by their names. */

const build = name

const reason = z.string().trim().min(1, 'Say why, in a few words.').max(2000)

/** The name of whoever decides: no decision is on record without one. */
const decider = z.string().trim().min(1, 'Give your name.').max(200)

const testId = z.enum(ALL_TESTS.map((test) => test.id) as [TestId, ...TestId[]])

const studyChange = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('open-phase'), build }),
  z.object({ kind: z.literal('join-phase'), build }),
  z.object({
    kind: z.literal('choose-baseline'),
    build,
    span: z.object({ from: build, to: build }).nullable(),
  }),
  z.object({ kind: z.literal('freeze-limits'), build }),
  z.object({ kind: z.literal('release-limits'), build }),
  z.object({ kind: z.literal('choose-tests'), tests: z.array(testId).min(1, 'Choose at least one test.') }),
  z.object({
    kind: z.literal('choose-repeats'),
    repeats: z.enum(REPEAT_CHOICES as ['every', 'first', 'last', 'mean']),
  }),
  z.object({
    kind: z.literal('choose-estimators'),
    within: z.enum(['pooled-s', 'average-s', 'average-range']),
    step: z.enum(['average', 'median']),
  }),
])

export type StudyChangeRequest = z.infer<typeof studyChange>

export const studyPreviewRequest = z.object({ change: studyChange })

export const studyDecision = z.object({
  /** Version that the decision was made on the sight of. */
  version: z.number().int().min(0),
  change: studyChange,
  who: decider,
  reason,
})

export const exclusionDecision = z.object({
  build,
  /** The single value; without it the whole build. */
  single: z.object({ serial: name, replicate: z.number().int().min(0) }).nullable(),
  /** A whole build of every characteristic that is measured in it. */
  everyCharacteristic: z.boolean().default(false),
  who: decider,
  reason,
})

export const exclusionsTakenBack = z.object({
  exclusions: z.array(z.number().int().min(1)).min(1).max(10_000),
  who: decider,
  reason,
})

const findingText = z.string().trim().max(4000)

const findingContent = z.object({
  characteristics: z.array(name).min(1, 'Name at least one characteristic.').max(10_000),
  from: build,
  to: build,
  cause: findingText.min(1, 'Say what the cause is, or what is looked into.'),
  action: findingText,
  state: z.enum(FINDING_STATES as ['open', 'explained', 'done']),
  verified: z.enum(FINDING_VERIFIED as ['not yet', 'yes', 'no']),
  who: decider,
})

export const newFinding = findingContent

export type FindingRequest = z.infer<typeof newFinding>

/** With the revision that was changed. */
export const changedFinding = findingContent.extend({ revision: z.number().int().min(1) })

const remarkText = z.string().trim().min(1, 'Write something.').max(2000)

export const newRemark = z.object({ build, text: remarkText, who: decider })

/** With the revision that was changed; a null text takes the remark back. */
export const changedRemark = z.object({
  text: remarkText.nullable(),
  revision: z.number().int().min(1),
  who: decider,
})

export const decisionNumber = z.object({ decision: z.coerce.number().int().min(1) })
