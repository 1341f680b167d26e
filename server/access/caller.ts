import type { Role, Scope } from '../contract/access.ts'

/** Whoever sends a request, as the server knows them. */
export type Caller =
  /** The person at this machine, who needs no password so long as nobody is on record. */
  | { readonly kind: 'single user' }
  | SignedInPerson
  /** A machine with a token. */
  | { readonly kind: 'machine'; readonly name: string; readonly scopes: readonly Scope[] }
  /** Whoever opened the link to one report. */
  | {
      readonly kind: 'guest'
      readonly report: number
      readonly session: number
      readonly givenTo: string
      /** When the link expires, in seconds since 1970-01-01 UTC. */
      readonly expiresAt: number
    }
  | { readonly kind: 'nobody' }

export interface SignedInPerson {
  readonly kind: 'person'
  readonly id: number
  readonly name: string
  readonly role: Role
  readonly session: number
}

declare module 'hono' {
  interface ContextVariableMap {
    /** Set by the guard for every request below /api. */
    caller: Caller
  }
}
