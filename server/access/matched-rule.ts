import type { Context } from 'hono'
import { matchedRoutes } from 'hono/route'
import { type RouteRule, ruleFor } from './route-roles.ts'

/** The rule of the route that a request is for; null where no route that is listed has its address. */
export function matchedRule(c: Context): RouteRule | null {
  for (const { method, path } of matchedRoutes(c)) {
    const rule = ruleFor(method, path)
    if (rule !== null) return rule
  }
  return null
}
