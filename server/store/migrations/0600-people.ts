import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Who may come in: people, their sessions, links for guests, and what tokens are good for. */
export const people: Migration = {
  version: 600,
  name: 'people',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('person')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('name_key', 'text', (c) => c.notNull().unique())
      .addColumn('role', 'text', (c) => c.notNull())
      .addColumn('password', 'text')
      .addColumn('created_at', 'bigint', (c) => c.notNull())
      .addColumn('disabled_at', 'bigint')
      .addCheckConstraint(
        'person_role',
        sql`role in ('inspector', 'process engineer', 'supplier quality', 'administrator')`,
      )
      .execute()

    await db.schema
      .createTable('password_link')
      .addColumn('sha256', 'text', (c) => c.primaryKey())
      .addColumn('person_id', 'integer', (c) => c.notNull().references('person.id'))
      .addColumn('made_at', 'bigint', (c) => c.notNull())
      .addColumn('expires_at', 'bigint', (c) => c.notNull())
      .addColumn('closed_at', 'bigint')
      .execute()

    await db.schema
      .createTable('guest_link')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('sha256', 'text', (c) => c.notNull().unique())
      .addColumn('report_id', 'integer', (c) => c.notNull().references('report.id'))
      .addColumn('given_to', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('made_at', 'bigint', (c) => c.notNull())
      .addColumn('expires_at', 'bigint', (c) => c.notNull())
      .addColumn('revoked_at', 'bigint')
      .execute()

    await db.schema
      .createTable('session')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('sha256', 'text', (c) => c.notNull().unique())
      .addColumn('person_id', 'integer', (c) => c.references('person.id'))
      .addColumn('guest_link_id', 'integer', (c) => c.references('guest_link.id'))
      .addColumn('started_at', 'bigint', (c) => c.notNull())
      .addColumn('seen_at', 'bigint', (c) => c.notNull())
      .addColumn('expires_at', 'bigint', (c) => c.notNull())
      .addColumn('ended_at', 'bigint')
      .addColumn('address', 'text', (c) => c.notNull())
      .addColumn('browser', 'text', (c) => c.notNull())
      .addCheckConstraint('session_whose', sql`(person_id is null) <> (guest_link_id is null)`)
      .execute()
    await db.schema.createIndex('session_person').on('session').column('person_id').execute()

    await db.schema
      .createTable('token_scope')
      .addColumn('token_id', 'integer', (c) => c.notNull())
      .addColumn('scope', 'text', (c) => c.notNull())
      .addPrimaryKeyConstraint('token_scope_key', ['token_id', 'scope'])
      .execute()
    // Until now, a token was for bringing files.
    await sql`insert into token_scope (token_id, scope) select id, 'bring files' from token`.execute(db)
  },
}
