import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Migration } from './migration.ts'

/** Which of several measurements of a part counts, where a study says that it is not each of them. */
export const repeats: Migration = {
  version: 400,
  name: 'which of several measurements counts',
  async up(db: Kysely<Schema>): Promise<void> {
    await db.schema
      .createTable('repeat_choice')
      .addColumn('characteristic_id', 'integer', (c) => c.notNull().references('characteristic.id'))
      .addColumn('stage', 'text', (c) => c.notNull())
      .addColumn('choice', 'text', (c) => c.notNull())
      .addPrimaryKeyConstraint('repeat_choice_key', ['characteristic_id', 'stage'])
      .execute()
  },
}
