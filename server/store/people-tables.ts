import type { Role, Scope } from '../contract/access.ts'

/** Tables of who may come in. Of every secret only a hash is kept. */
export interface PeopleTables {
  person: PersonTable
  password_link: PasswordLinkTable
  guest_link: GuestLinkTable
  session: SessionTable
  token_scope: TokenScopeTable
}

export interface PersonTable {
  id: number
  name: string
  /** The name as it is compared; see `nameKey`. */
  name_key: string
  role: Role
  /** See passwords.ts; null until the person has chosen one. */
  password: string | null
  created_at: number
  disabled_at: number | null
}

/** A link that lets a person choose a password, once. */
export interface PasswordLinkTable {
  sha256: string
  person_id: number
  made_at: number
  expires_at: number
  /** Used, or replaced by a later one. */
  closed_at: number | null
}

/** A link that opens one report. */
export interface GuestLinkTable {
  id: number
  sha256: string
  report_id: number
  given_to: string
  /** Who made it. */
  who: string
  made_at: number
  expires_at: number
  revoked_at: number | null
}

/** A browser that is signed in, as a person or as a guest. */
export interface SessionTable {
  id: number
  sha256: string
  person_id: number | null
  guest_link_id: number | null
  started_at: number
  seen_at: number
  expires_at: number
  ended_at: number | null
  address: string
  browser: string
}

export interface TokenScopeTable {
  token_id: number
  scope: Scope
}
