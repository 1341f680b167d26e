import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

/**
 * How many commits there were, and how many of them wrote only what nothing is computed from (`writes-aside.ts`), so that
 * every process can tell whether what it computed still holds. On SQLite the table is new; on PostgreSQL it has counted
 * all commits before.
 */
export const commitsAside: Migration = {
  version: 1130,
  name: 'commits of what nothing is computed from',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    if (flavour === 'postgres') {
      await sql`alter table commit_count add column aside bigint not null default 0`.execute(db)
      return
    }
    await sql`create table commit_count (
      id integer primary key,
      commits integer not null,
      aside integer not null
    )`.execute(db)
    await sql`insert into commit_count values (1, 0, 0)`.execute(db)
  },
}
