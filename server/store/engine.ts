import type { Kysely } from 'kysely'
import type { Moments } from '../../src/description/moments.ts'
import type { Flavour } from './migrations/migration.ts'
import type { CellTable, PartTable, Schema } from './schema.ts'

/** What a database must offer beyond queries that every dialect shares. */
export interface Engine {
  readonly flavour: Flavour
  readonly db: Kysely<Schema>
  readonly bulk: Bulk
  /** Open a transaction that holds the right to write from its first moment. */
  begin(): Promise<void>
  commit(): Promise<void>
  rollback(): Promise<void>
  close(): Promise<void>
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
  /** Put the measurements of these parts from one cell into another; the cells' moments stay as they are. */
  moveMeasurements(fromCell: number, toCell: number, partIds: ReadonlySet<number>): Promise<number>
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

/** A measurement that was left out, and where the one stands that was there before it. */
export interface Duplicate {
  /** Index into the columns. */
  readonly index: number
  readonly firstImportId: number
  readonly firstLine: number
}
