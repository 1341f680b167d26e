import { zValidator } from '@hono/zod-validator'
import type { ValidationTargets } from 'hono'
import type { z } from 'zod'
import { explainFault } from '../problem.ts'

/** What a route's handler checks, so that the interface can be described from it. */
export interface Checked {
  readonly target: keyof ValidationTargets
  readonly schema: z.ZodType
}

const checkedBy = new WeakMap<object, Checked>()

/**
 * Checks a part of the request against a schema, and answers 400 with the first fault. The schema is what the description
 * of the interface says of the route: there is no second declaration.
 */
export function validated<S extends z.ZodType, T extends keyof ValidationTargets>(target: T, schema: S) {
  const handler = zValidator(target, schema, explainFault)
  checkedBy.set(handler, { target, schema })
  return handler
}

/** What a handler of the application checks; null where it checks nothing. */
export function checkedOf(handler: object): Checked | null {
  return checkedBy.get(handler) ?? null
}
