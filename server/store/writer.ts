import type { Kysely, Selectable } from 'kysely'
import type { Moments } from '../../src/description/moments.ts'
import { noteLoads } from './build-loads.ts'
import { type CustomerRequirementsWrites, customerRequirementsWrites } from './customer-requirements.ts'
import { type DecisionWrites, decisionWrites } from './decision-writes.ts'
import type { Identities, NewCell, PartPlace, Transaction } from './engine.ts'
import { type ErasureWrites, erasureWrites } from './erasure/erasure-writes.ts'
import { CollisionError } from './errors.ts'
import { type EventNoticeWrites, eventNoticeWrites } from './event-notice-writes.ts'
import { type FactorDecisionWrites, factorDecisionWrites } from './factor-decisions.ts'
import { type GaugeRegisterWrites, gaugeRegisterWrites } from './gauge-register.ts'
import { type GaugeStudyWrites, gaugeStudyWrites } from './gauge-studies.ts'
import { type GuestLinkWrites, guestLinkWrites } from './guest-links.ts'
import { type ImportWrites, importWrites } from './imports.ts'
import { mergeIntoCells, recomputeCells } from './included-values.ts'
import { type LayoutWrites, layoutWrites } from './layouts.ts'
import { type PeopleWrites, peopleWrites } from './people.ts'
import type { Recorder } from './record/recorder.ts'
import { type ReportWrites, reportWrites } from './reports.ts'
import type {
  BuildGaugeTable,
  BuildTable,
  CellTable,
  CharacteristicTable,
  FurnaceLoadTable,
  MeasuredBuildTable,
  NameTable,
  PartNumberTable,
  PartTable,
  Schema,
} from './schema.ts'
import { type SessionWrites, sessionWrites } from './sessions.ts'
import { type ShrinkageSettingsWrites, shrinkageSettingsWrites } from './shrinkage-settings.ts'
import { type SpreadReads, spreadReads } from './spreads.ts'
import { type TokenWrites, tokenWrites } from './tokens.ts'
import { type WithdrawalWrites, withdrawalWrites } from './withdrawals.ts'

/** Everything of which there is little enough to hold in memory while a file is taken in. */
export interface Catalogue {
  readonly partNumbers: Selectable<PartNumberTable>[]
  readonly characteristics: Selectable<CharacteristicTable>[]
  readonly builds: Selectable<BuildTable>[]
  readonly furnaceLoads: Selectable<FurnaceLoadTable>[]
  readonly gauges: Selectable<NameTable>[]
  readonly inspectors: Selectable<NameTable>[]
  /** The next free identity of each table that the caller may add to. */
  readonly next: Identities['next']
  /** Identities that the caller must stay below. */
  readonly end: Identities['end']
}

/** Tables whose rows come by the handful. */
type SmallTable = 'part_number' | 'characteristic' | 'build' | 'furnace_load' | 'gauge' | 'inspector'

/**
 * The write side, used only inside `Store.write`. Nothing of it can be seen from
 * another connection before the transaction is committed.
 */
export interface Writer
  extends TokenWrites,
    SpreadReads,
    ImportWrites,
    LayoutWrites,
    WithdrawalWrites,
    ErasureWrites,
    DecisionWrites,
    FactorDecisionWrites,
    ShrinkageSettingsWrites,
    CustomerRequirementsWrites,
    EventNoticeWrites,
    ReportWrites,
    GaugeRegisterWrites,
    GaugeStudyWrites,
    PeopleWrites,
    SessionWrites,
    GuestLinkWrites {
  /** True where calls are carried out one after another even if they are not waited for. */
  readonly inOrder?: true
  /** @param rows about as many as will be added to a table at most; more than that may collide with others */
  catalogue(rows?: number): Promise<Catalogue>
  /**
   * For work on what all part numbers share.
   *
   * @throws CollisionError where others may be writing meanwhile
   */
  requireAlone(): void
  /** Parts on record; from here on, nobody else writes measurements of the part number. */
  partsBySerial(partNumberId: number, serials: readonly string[]): Promise<Selectable<PartTable>[]>
  cellsOfBuilds(buildIds: readonly number[]): Promise<(NewCell & Pick<CellTable, 'n'>)[]>
  hasMeasurements(characteristicId: number): Promise<boolean>
  /** Add rows, or put them in the place of those with the same identity. */
  put<T extends SmallTable>(table: T, rows: readonly Selectable<Schema[T]>[]): Promise<void>
  insertParts(parts: readonly PartTable[]): Promise<void>
  placeParts(places: readonly PartPlace[]): Promise<void>
  insertCells(cells: readonly NewCell[]): Promise<void>
  moveMeasurements(fromCell: number, toCell: number, partIds: ReadonlySet<number>): Promise<number>
  mergeCells(moments: ReadonlyMap<number, Moments>): Promise<void>
  /** Compute cells anew from those of their values that are not left out; a cell without values is deleted. */
  recomputeCells(cellIds: Iterable<number>): Promise<void>
  noteGauges(rows: readonly BuildGaugeTable[]): Promise<void>
  /** Let the transaction be committed without an entry in the record; see `Recorder`. */
  withoutEntry(why: string): Promise<void>
  /** Add to the numbers of measured parts. */
  countParts(rows: readonly MeasuredBuildTable[]): Promise<void>
}

/** Rows to one statement: at 14 columns, its parameters stay below the least limit of the dialects, 32 766. */
const AT_ONCE = 500

export function writer(transaction: Transaction, record: Recorder): Writer {
  const { db, bulk } = transaction
  return {
    ...tokenWrites(db, record),
    ...spreadReads(db),
    ...importWrites(db, bulk, record),
    ...layoutWrites(db, record),
    ...withdrawalWrites(db, bulk, record),
    ...erasureWrites(transaction, record),
    ...decisionWrites(db, bulk, record),
    ...reportWrites(db, record),
    ...factorDecisionWrites(db, record),
    ...shrinkageSettingsWrites(db, record),
    ...customerRequirementsWrites(db, record),
    ...gaugeRegisterWrites(db, (rows) => transaction.reserve(rows), record),
    ...gaugeStudyWrites(db, record),
    ...peopleWrites(db, record),
    ...sessionWrites(db, record),
    ...guestLinkWrites(db, record),
    ...eventNoticeWrites(db, record),

    withoutEntry: async (why) => record.withoutEntry(why),

    async catalogue(rows = 0) {
      const identities = await transaction.reserve(rows)
      return {
        partNumbers: await db.selectFrom('part_number').selectAll().execute(),
        characteristics: await db.selectFrom('characteristic').selectAll().execute(),
        builds: await db.selectFrom('build').selectAll().execute(),
        furnaceLoads: await db.selectFrom('furnace_load').selectAll().execute(),
        gauges: await db.selectFrom('gauge').selectAll().execute(),
        inspectors: await db.selectFrom('inspector').selectAll().execute(),
        ...identities,
      }
    },

    requireAlone() {
      if (transaction.manner !== 'alone') throw new CollisionError('the work is for a writer without others')
    },

    async partsBySerial(partNumberId, serials) {
      await transaction.hold(partNumberId)
      return await bulk.partsBySerial(partNumberId, serials)
    },

    async cellsOfBuilds(buildIds) {
      const cells: (NewCell & Pick<CellTable, 'n'>)[] = []
      for (let i = 0; i < buildIds.length; i += AT_ONCE) {
        const rows = await db
          .selectFrom('cell')
          .select(['id', 'characteristic_id', 'build_id', 'furnace_load_id', 'stage', 'n'])
          .where('build_id', 'in', buildIds.slice(i, i + AT_ONCE))
          .execute()
        for (const row of rows) cells.push(row)
      }
      return cells
    },

    async hasMeasurements(characteristicId) {
      const row = await db
        .selectFrom('cell')
        .select('id')
        .where('characteristic_id', '=', characteristicId)
        .limit(1)
        .executeTakeFirst()
      return row !== undefined
    },

    async put(table, rows) {
      // The generic table name is beyond what the builder's types can follow; the signature above holds it.
      const plain = db as unknown as Kysely<Record<string, Record<string, unknown>>>
      const all = rows as readonly Record<string, unknown>[]
      for (let i = 0; i < all.length; i += AT_ONCE) {
        const some = all.slice(i, i + AT_ONCE)
        const columns = Object.keys(some[0] as object).filter((column) => column !== 'id')
        await plain
          .insertInto(table)
          .values(some)
          .onConflict((conflict) =>
            conflict
              .column('id')
              .doUpdateSet(
                (eb) =>
                  Object.fromEntries(
                    columns.map((column) => [column, eb.ref(`excluded.${column}`)]),
                  ) as never,
              ),
          )
          .execute()
      }
    },

    insertParts: (parts) => bulk.insertParts(parts),

    placeParts: (places) => bulk.placeParts(places),
    async insertCells(cells) {
      await bulk.insertCells(cells)
      await noteLoads(db, cells)
    },
    moveMeasurements: (fromCell, toCell, partIds) => bulk.moveMeasurements(fromCell, toCell, partIds),
    mergeCells: (moments) => mergeIntoCells(db, bulk, moments),
    recomputeCells: (cellIds) => recomputeCells(db, bulk, cellIds),

    async noteGauges(rows) {
      for (let i = 0; i < rows.length; i += AT_ONCE) {
        await db
          .insertInto('build_gauge')
          .values(rows.slice(i, i + AT_ONCE))
          .onConflict((conflict) => conflict.doNothing())
          .execute()
      }
    },

    async countParts(rows) {
      for (let i = 0; i < rows.length; i += AT_ONCE) {
        await db
          .insertInto('measured_build')
          .values(rows.slice(i, i + AT_ONCE))
          .onConflict((conflict) =>
            conflict
              .columns(['part_number_id', 'stage', 'build_id'])
              .doUpdateSet((eb) => ({ parts: eb('measured_build.parts', '+', eb.ref('excluded.parts')) })),
          )
          .execute()
      }
    },
  }
}
