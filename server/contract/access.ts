/** Who may do what, as client and server name it. */

/** Roles of people, named after the trade. An administrator may do what any other role may. */
export const ROLES = ['inspector', 'process engineer', 'supplier quality', 'administrator'] as const
export type Role = (typeof ROLES)[number]

/** What a token of a machine may be good for. */
export const SCOPES = ['bring files', 'read', 'make reports', 'read metrics'] as const
export type Scope = (typeof SCOPES)[number]
