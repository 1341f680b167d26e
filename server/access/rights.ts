import type { Caller } from './caller.ts'
import { ROUTE_GROUPS, type RouteRule } from './route-roles.ts'

/** Whether the table lets somebody call a route; a guest's is further bound to their one report. */
export function isAllowed(rule: RouteRule, caller: Caller): boolean {
  if (rule.open) return true
  switch (caller.kind) {
    case 'single user':
      return true
    case 'person':
      return rule.roles.includes(caller.role)
    case 'machine':
      return rule.scopes?.some((scope) => caller.scopes.includes(scope)) ?? false
    case 'guest':
      return rule.guest === 'report'
    case 'nobody':
      return false
  }
}

/** Everything that somebody may call. */
export function callsOf(caller: Caller): string[] {
  return ROUTE_GROUPS.flatMap(({ routes }) => routes)
    .filter((rule) => isAllowed(rule, caller))
    .map(({ call }) => call)
}
