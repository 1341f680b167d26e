import { type Kysely, sql } from 'kysely'
import type { Schema } from '../schema.ts'
import type { Flavour, Migration } from './migration.ts'

/** On SQLite, limits of a part's own lie in the order of their key, which takes two thirds of the room. */
export const ownLimitsByKey: Migration = {
  version: 1001,
  name: 'limits of a part’s own by their key',
  async up(db: Kysely<Schema>, flavour: Flavour): Promise<void> {
    if (flavour === 'postgres') return
    await sql`create table own_limits_by_key (
      part_id integer not null references part (id),
      characteristic_id integer not null references characteristic (id),
      stage text not null,
      replicate integer not null,
      import_id integer not null references import (id),
      measured double precision not null,
      lower double precision,
      upper double precision,
      constraint own_limits_key primary key (part_id, characteristic_id, stage, replicate),
      constraint own_limits_stage check (stage in ('green', 'sintered', 'finished')),
      constraint own_limits_given check (coalesce(lower, upper) is not null)
    ) without rowid`.execute(db)
    await sql`insert into own_limits_by_key (part_id, characteristic_id, stage, replicate, import_id, measured, lower, upper)
      select part_id, characteristic_id, stage, replicate, import_id, measured, lower, upper from own_limits`.execute(
      db,
    )
    await sql`drop table own_limits`.execute(db)
    await sql`alter table own_limits_by_key rename to own_limits`.execute(db)
  },
}
