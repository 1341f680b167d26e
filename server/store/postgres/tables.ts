import { type Kysely, sql } from 'kysely'
import { NUMBERED_TABLES } from '../engine.ts'
import type { Schema } from '../schema.ts'

/**
 * Cells to one partition of the measurements. Cells are numbered as they are made, so a partition holds the
 * measurements of one stretch of time: new ones go to the last partition, whose index stays in memory, and the
 * older ones come to rest and can be vacuumed once, moved to slower disks or detached. At 5 to 125 values a cell
 * a partition holds 1 to 33 million measurements.
 */
export const CELLS_TO_A_PARTITION = 2 ** 18

/**
 * Measurements, and what several writing processes need: which identities were given out to transactions that are
 * not committed yet, and a count of commits.
 */
export async function createPostgresTables(db: Kysely<Schema>): Promise<void> {
  // Columns in the order of their sizes, since values are aligned. No foreign keys: each would be looked up row by
  // row, which costs several times the writing itself. `insertMeasurements` looks all references of a batch up at
  // once instead, and rows that measurements refer to are deleted by nobody but the writer.
  await sql`create table measurement (
    value double precision not null,
    measured_at bigint,
    cell_id integer not null,
    part_id integer not null,
    import_id integer not null,
    line integer not null,
    gauge_id integer,
    inspector_id integer,
    replicate smallint not null,
    constraint measurement_key primary key (cell_id, part_id, replicate)
  ) partition by range (cell_id)`.execute(db)
  await sql`create table identity (name text primary key, next bigint not null)`.execute(db)
  await sql`create table commit_count (id integer primary key, commits bigint not null)`.execute(db)
  for (const table of NUMBERED_TABLES) await sql`insert into identity values (${table}, 1)`.execute(db)
  await sql`insert into commit_count values (1, 0)`.execute(db)
  await sql.raw(createPartition(0)).execute(db)
  // A new cell is filled once its values are in: with room on its page, that leaves the indexes as they are.
  await sql`alter table cell set (fillfactor = 50)`.execute(db)
}

export const partitionName = (number: number) => `measurement_${number}`

/** The statement that makes a table like a partition, apart from the measurements still. */
export function createPartition(number: number): string {
  return `create table if not exists ${partitionName(number)} (like measurement including all);
    ${attachPartition(number)}`
}

/** Attaching leaves readers and writers of the other partitions in peace, as creating a partition in place does not. */
function attachPartition(number: number): string {
  const from = number * CELLS_TO_A_PARTITION
  return `alter table measurement attach partition ${partitionName(number)}
    for values from (${from}) to (${from + CELLS_TO_A_PARTITION})`
}
