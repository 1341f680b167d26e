import { z } from 'zod'
import type { IndexRequirement, RequirementClass } from '../../src/capability/requirement.ts'
import type { Signature } from './decisions.ts'

/** What the customer asks of a part number; characteristics go by their designators here. */

const indexRequirement = {
  index: z.enum(['Ppk', 'Cpk']),
  value: z
    .number()
    .min(0.1, 'An index lies between 0.1 and 10.')
    .max(10, 'An index lies between 0.1 and 10.'),
  /** As a fraction. */
  confidence: z.number().min(0.5).max(0.999),
}

const className = z.string().trim().min(1, 'Give the class a name.').max(60)

/** Everything that is asked, in the place of what was asked before. */
export const requirementsDecision = z.object({
  /** Version that the decision was made on the sight of. */
  version: z.number().int().min(0),
  fallback: z.object(indexRequirement),
  classes: z.array(z.object({ name: className, ...indexRequirement })).max(100),
  assigned: z
    .array(z.object({ designator: z.string().trim().min(1).max(200), class: className }))
    .max(10_000),
  who: z.string().trim().min(1, 'Give your name.').max(200),
  reason: z.string().trim().min(1, 'Say why, in a few words.').max(2000),
})

/** GET /api/part-numbers/:number/:revision/requirements */
export interface RequirementsView {
  /** Version in force; 0 while the default holds. */
  readonly version: number
  /** Of characteristics without a class. */
  readonly fallback: IndexRequirement
  readonly classes: readonly RequirementClass[]
  readonly characteristics: readonly {
    readonly designator: string
    readonly name: string
    /** Null for none. */
    readonly class: string | null
  }[]
  /** Newest first. */
  readonly history: readonly (Signature & { readonly version: number; readonly reason: string })[]
}
