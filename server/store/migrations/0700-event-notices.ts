import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

export const eventNotices: Migration = {
  version: 700,
  name: 'event notices',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('notice_settings')
      .addColumn('version', 'integer', (c) => c.primaryKey())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('reason', 'text', (c) => c.notNull())
      .addColumn('who', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
    await db.schema
      .createTable('webhook_secret')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('secret', 'text', (c) => c.notNull())
      .execute()
    await db.schema
      .createTable('watched_series')
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('since', 'bigint', (c) => c.notNull())
      .addPrimaryKeyConstraint('watched_series_key', ['part_number_id', 'stage'])
      .execute()
    await db.schema
      .createTable('event_notice')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('content', 'text', (c) => c.notNull())
      .addColumn('at', 'bigint', (c) => c.notNull())
      .execute()
    await db.schema
      .createTable('known_event')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('part_number_id', 'integer', (c) => c.notNull().references('part_number.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('aspect', 'text', (c) => c.notNull())
      .addColumn('characteristics', 'text', (c) => c.notNull())
      .addColumn('from_build_id', 'integer', (c) => c.notNull())
      .addColumn('earliest_build_id', 'integer', (c) => c.notNull())
      .addColumn('latest_build_id', 'integer', (c) => c.notNull())
      .addColumn('to_build_id', 'integer')
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('basis', 'integer', (c) => c.notNull())
      .addColumn('notice_id', 'integer', (c) => c.references('event_notice.id'))
      .execute()
    await db.schema
      .createIndex('known_event_series')
      .on('known_event')
      .columns(['part_number_id', 'stage'])
      .execute()
    await db.schema
      .createTable('notice_delivery')
      .addColumn('id', 'integer', (c) => c.primaryKey())
      .addColumn('notice_id', 'integer', (c) => c.notNull().references('event_notice.id'))
      .addColumn('channel', 'text', (c) => c.notNull())
      .addColumn('target', 'text', (c) => c.notNull())
      .addColumn('state', 'text', (c) => c.notNull())
      .addColumn('tries', 'integer', (c) => c.notNull())
      .addColumn('next_at', 'bigint', (c) => c.notNull())
      .addColumn('claimed_until', 'bigint')
      .addColumn('last_try_at', 'bigint')
      .addColumn('last_error', 'text')
      .execute()
    // Waiting ones are few among all that were ever sent.
    await db.schema
      .createIndex('notice_delivery_waiting')
      .on('notice_delivery')
      .columns(['state', 'next_at'])
      .execute()
  },
}
