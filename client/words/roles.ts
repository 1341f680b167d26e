import type { Role, Scope } from '../../server/contract/access.ts'

/**
 * What each role may do, in words; the table of routes and roles decides. Everybody who is signed in reads everything.
 */
export const ROLES_TEXT: Readonly<Record<Role, string>> = {
  inspector: 'Brings files and withdraws them; writes remarks. Reads everything.',
  'process engineer':
    'What the inspector does; decides on limits, phases, tests, exclusions, findings and scale factors; makes reports.',
  'supplier quality':
    'Decides what the customer asks; makes reports and gives guests links to them; writes remarks. Reads everything.',
  administrator: 'Everything that the others may, and lets people and machines in.',
}

/** What a token of a machine may be good for, in words. */
export const SCOPES_TEXT: Readonly<Record<Scope, string>> = {
  'bring files': 'bring files, withdraw them, read their receipts',
  read: 'read charts, figures, decisions and reports',
  'make reports': 'make reports and read them',
  'read metrics': 'read how the server is doing',
}
