import { z } from 'zod'
import type { ReportContent, ReportSummary } from './report.ts'

/** Who may do what, as client and server name it. Times are seconds since 1970-01-01 UTC. */

/** Roles of people, named after the trade. An administrator may do what any other role may. */
export const ROLES = ['inspector', 'process engineer', 'supplier quality', 'administrator'] as const
export type Role = (typeof ROLES)[number]

/** What a token of a machine may be good for. */
export const SCOPES = ['bring files', 'read', 'make reports', 'read metrics'] as const
export type Scope = (typeof SCOPES)[number]

const withoutControls = (text: string) => !/\p{Cc}/u.test(text)

export const personName = z
  .string()
  .trim()
  .min(1, 'Give a name.')
  .max(100, 'Keep the name below 100 characters.')
  .refine(withoutControls, 'A name cannot hold control characters.')

const password = z.string().min(1, 'Give a password.').max(1000, 'That is longer than any password.')

/** What a link holds that only its receiver knows. */
const secret = z.string().min(1).max(200)

export const signInRequest = z.object({ name: personName, password })

export const passwordChange = z.object({ present: password, password })

/** The first password, or a new one, by a link that an administrator gave. */
export const passwordByLink = z.object({ link: secret, password })

export const guestSignIn = z.object({ link: secret })

export const newPerson = z.object({ name: personName, role: z.enum(ROLES) })

/** How the person stood on the list when it was decided. */
const seen = z.object({ role: z.enum(ROLES), disabledAt: z.number().nullable() })

export const roleChange = z.object({ role: z.enum(ROLES), seen })

export const personDisabled = z.object({ disabled: z.boolean(), seen })

const identity = z.coerce
  .number()
  .int()
  .min(1)
  .max(2 ** 31 - 1)

export const personId = z.object({ person: identity })

export const sessionId = z.object({ session: identity })

export const newToken = z.object({
  name: personName,
  /** Who makes it, where nobody is signed in. */
  who: personName.optional(),
  scopes: z.array(z.enum(SCOPES)).min(1, 'Choose at least one thing that the token is good for.').max(10),
})

export const tokenName = z.object({ token: z.string().min(1).max(200) })

export const newGuestLink = z.object({
  /** For whom it is. */
  givenTo: personName,
  days: z.number().int().min(1).max(365, 'A link lasts for a year at most.'),
  who: personName,
})

export const guestLinkId = z.object({ report: identity, link: identity })

/** Who is asking, and what the server lets them do. */
export interface SessionView {
  readonly who:
    | { readonly kind: 'single user' }
    | { readonly kind: 'person'; readonly id: number; readonly name: string; readonly role: Role }
    | { readonly kind: 'machine'; readonly name: string }
    | {
        readonly kind: 'guest'
        readonly report: ReportSummary
        /** What the report says in a sentence, and what that rests on. */
        readonly said: Pick<ReportContent, 'headline' | 'grounds'>
        readonly givenTo: string
        readonly expiresAt: number
      }
    /** `people` is false where nobody is on record yet, so that nobody can sign in. */
    | { readonly kind: 'nobody'; readonly people: boolean }
  /** Method and path of every call, as the table of routes and roles has them. */
  readonly mayCall: readonly string[]
}

export interface PersonView {
  readonly id: number
  readonly name: string
  readonly role: Role
  readonly createdAt: number
  /** Null while the person may sign in. */
  readonly disabledAt: number | null
  /** False until the person has chosen a password. */
  readonly hasPassword: boolean
  /** Browsers that are signed in. */
  readonly sessions: readonly SignedInBrowser[]
}

export interface SignedInBrowser {
  readonly id: number
  readonly startedAt: number
  readonly seenAt: number
  readonly expiresAt: number
  readonly address: string
  readonly browser: string
  /** Whether it is the one that asks. */
  readonly own: boolean
}

export interface PeopleView {
  readonly people: readonly PersonView[]
}

export interface SessionsView {
  readonly sessions: readonly SignedInBrowser[]
}

/** A link shown this once. */
export interface LinkMade {
  /** Address of a page, from the root on; what is behind # is the secret. */
  readonly link: string
  readonly expiresAt: number
}

export interface TokensView {
  readonly tokens: readonly {
    readonly name: string
    readonly scopes: readonly Scope[]
    readonly createdAt: number
    readonly revokedAt: number | null
  }[]
}

/** A token shown this once. */
export interface TokenMade {
  readonly token: string
}

export interface GuestLinksView {
  readonly links: readonly {
    readonly id: number
    readonly givenTo: string
    readonly who: string
    readonly madeAt: number
    readonly expiresAt: number
    readonly revokedAt: number | null
  }[]
}
