import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'

export type Flavour = 'sqlite' | 'postgres'

/** One step of the schema. Steps go forward only, and one that has shipped is never edited. */
export interface Migration {
  readonly version: number
  readonly name: string
  readonly up: (db: Kysely<Schema>, flavour: Flavour) => Promise<void>
}
