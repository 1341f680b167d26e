import type { Kysely } from 'kysely'
import type { Moments } from '../../src/description/moments.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { CellColumns } from '../../src/domain/cell-columns.ts'
import type { Flavour } from './migrations/migration.ts'
import type { CellTable, PartTable, Schema } from './schema.ts'

/** What a database must offer beyond queries that every dialect shares. */
export interface Engine {
  readonly flavour: Flavour
  /** For reading, outside of any transaction. */
  readonly db: Kysely<Schema>
  /** Cells of one characteristic that hold a value, by build, then furnace load. */
  cellsOf(characteristicId: number, stage: Stage): Promise<CellColumns>
  /**
   * Cells of a part number by the ten thousand, in the dialect's fastest way: those of builds of which any has changed
   * since the mark, or all.
   *
   * @param since the mark that an earlier call gave; null for all
   */
  cellChanges(partNumberId: number, stage: Stage, since: string | null): Promise<CellChanges>
  /** Rows of a query that is the same in every dialect, by the ten thousand, in the dialect's fastest way. */
  readonly scan: Scan
  /** Single values of these cells, by cell, part and replicate, in the dialect's fastest way. */
  values(cellIds: readonly number[]): Promise<CellValues>
  /** Read in a transaction that sees one state of the database, whatever is committed meanwhile. */
  snapshot<T>(work: (db: Kysely<Schema>) => Promise<T>): Promise<T>
  /** Parts of these serial numbers, as far as they are on record, in any order. */
  partsBySerial(partNumberId: number, serials: readonly string[]): Promise<PartTable[]>
  /** Open a transaction that may write from its first moment; one at a time. */
  begin(manner: Manner): Promise<Transaction>
  /** Whether a transaction failed only because another ran beside it, so that alone it may succeed. */
  isCollision(error: unknown): boolean
  /** Changes with every commit, whoever made it; null while a transaction of this engine shows in its reads. */
  version(): Promise<string | null>
  /** As `version`, but stays the same with a commit of what is written aside. */
  contentVersion(): Promise<string | null>
  /** Call the listener after every commit, whoever made it. @returns how to stop it */
  onChange(listener: () => void): () => void
  close(): Promise<void>
}

/**
 * Read `select columns from from`, row by row.
 *
 * @param columns expressions; no parameters in them
 * @param from what stands behind FROM, with $1, $2 … for the values
 * @param each called with the values of each row's columns
 */
export type Scan = (
  columns: readonly string[],
  from: string,
  values: readonly (string | number)[],
  each: (...row: never[]) => void,
) => Promise<void>

/** Values side by side: entry i of every column belongs to value i. */
export interface CellValues {
  readonly cell: Int32Array
  readonly part: Int32Array
  readonly replicate: Int32Array
  readonly value: Float64Array
}

/** Where more builds than this have changed, all cells are read. */
export const MOST_BUILDS_ANEW = 200

/** Cells that may have changed, by characteristic, build and furnace load; those without a value are not among them. */
export interface CellChanges {
  /** Whatever is not in these cells yet comes after it; null while a transaction of this engine shows in its reads. */
  readonly mark: string | null
  /** The builds whose cells these are, whether or not any are left; null where all cells were read. */
  readonly builds: ReadonlySet<number> | null
  /** Entry i belongs to cell i. */
  readonly characteristicId: Int32Array
  readonly cells: CellColumns
}

/**
 * alone: no other transaction writes meanwhile. beside: others may, so long as they are about other part numbers;
 * where the database cannot do that, the same as alone.
 */
export type Manner = 'alone' | 'beside'

/** An open transaction. */
export interface Transaction {
  readonly manner: Manner
  readonly db: Kysely<Schema>
  readonly bulk: Bulk
  /** Identities free for this transaction, with room for about so many rows. */
  reserve(rows: number): Promise<Identities>
  /**
   * Keep others from writing measurements of the part number until the transaction ends.
   *
   * @throws CollisionError where anything was committed since `reserve`, which this transaction has not seen
   */
  hold(partNumberId: number): Promise<void>
  /** Keep others from appending to the record until the transaction ends. */
  holdRecord(): Promise<void>
  /** Have what it deletes go from the log as well, once it is committed, where there is a log of one's own. */
  emptyLogAfterwards(): void
  /** Whether it has written anything. */
  hasWritten(): Promise<boolean>
  /** @param isAside whether nothing that was written enters into what is computed and kept; see `writes-aside.ts` */
  commit(isAside: boolean): Promise<void>
  rollback(): Promise<void>
}

const NUMBERED = [
  'part_number',
  'characteristic',
  'build',
  'furnace_load',
  'part',
  'gauge',
  'inspector',
  'import',
  'cell',
] as const
/** Tables whose identities are given out by whoever writes. */
export type NumberedTable = (typeof NUMBERED)[number]
export const NUMBERED_TABLES: readonly NumberedTable[] = NUMBERED

/** Identities from `next` up to but not including `end` are free. */
export interface Identities {
  readonly next: Readonly<Record<NumberedTable, number>>
  readonly end: Readonly<Record<NumberedTable, number>>
}

/** Identities are below this: they are kept in four bytes. */
export const IDENTITY_LIMIT = 2 ** 31

/** Everything above the greatest identity in use, for a transaction that writes alone. */
export async function identitiesAbove(db: Kysely<Schema>): Promise<Identities> {
  const next = {} as Record<NumberedTable, number>
  const end = {} as Record<NumberedTable, number>
  for (const table of NUMBERED_TABLES) {
    const row = await db
      .selectFrom(table)
      .select((eb) => eb.fn.max('id').as('last'))
      .executeTakeFirst()
    next[table] = Number(row?.last ?? 0) + 1
    end[table] = IDENTITY_LIMIT
  }
  return { next, end }
}

/**
 * The writes that a large file repeats a million times, done in the dialect's fastest way. All run inside the
 * transaction of the engine.
 */
export interface Bulk {
  insertParts(parts: readonly PartTable[]): Promise<void>
  /** Fill in what a part's later file said of its place and load. */
  placeParts(places: readonly PartPlace[]): Promise<void>
  insertCells(cells: readonly NewCell[]): Promise<void>
  /**
   * Insert the measurements of one import in the order given, which should be that of their cells.
   * A row whose part, cell and replicate are taken already is left out and reported.
   */
  insertMeasurements(
    importId: number,
    columns: MeasurementColumns,
    order: Uint32Array,
  ): Promise<readonly Duplicate[]>
  /** Insert what measurements that are written were judged by, where each part has limits of its own. */
  insertOwnLimits(importId: number, columns: OwnLimitColumns): Promise<void>
  /** Put the measurements of these parts from one cell into another; the cells' moments stay as they are. */
  moveMeasurements(fromCell: number, toCell: number, partIds: ReadonlySet<number>): Promise<number>
  /** As `Engine.partsBySerial`, with what this transaction has written. */
  partsBySerial(partNumberId: number, serials: readonly string[]): Promise<PartTable[]>
  /** As `Engine.values`, with what this transaction has written. */
  values(cellIds: readonly number[]): Promise<CellValues>
  /** Merge the moments into those that the cells hold already. */
  mergeCells(moments: ReadonlyMap<number, Moments>): Promise<void>
  /** Compute the cells anew from their values; a cell without values is deleted. */
  recomputeCells(cellIds: Iterable<number>): Promise<void>
}

/** What a part's later file may fill in. */
export type PartPlace = Pick<
  PartTable,
  'id' | 'bed_x' | 'bed_y' | 'bed_z' | 'furnace_load_id' | 'tray' | 'tray_place' | 'stages'
>

/** A cell before it has measurements. */
export type NewCell = Pick<CellTable, 'id' | 'characteristic_id' | 'build_id' | 'furnace_load_id' | 'stage'>

/** Measurements side by side: entry i of every column belongs to measurement i. */
export interface MeasurementColumns {
  readonly cell: Int32Array
  readonly part: Int32Array
  readonly replicate: Int32Array
  readonly value: Float64Array
  /** 0 where not recorded. */
  readonly gauge: Int32Array
  /** 0 where not recorded. */
  readonly inspector: Int32Array
  /** Seconds since 1970-01-01 UTC; NaN where not recorded. */
  readonly measuredAt: Float64Array
  readonly line: Int32Array
}

/** Limits of parts' own side by side, in the unit of their characteristic; NaN where there is none. */
export interface OwnLimitColumns {
  readonly part: Int32Array
  readonly characteristic: Int32Array
  /** Indices into `STAGES`. */
  readonly stage: Uint8Array
  readonly replicate: Int32Array
  readonly measured: Float64Array
  readonly lower: Float64Array
  readonly upper: Float64Array
}

/** A measurement that was left out, and where the one stands that was there before it. */
export interface Duplicate {
  /** Index into the columns. */
  readonly index: number
  readonly firstImportId: number
  readonly firstLine: number
}
