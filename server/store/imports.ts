import type { Kysely, Selectable } from 'kysely'
import type { Receipt } from '../contract/receipt.ts'
import type { Bulk, Duplicate, MeasurementColumns, OwnLimitColumns } from './engine.ts'
import type { Recorder } from './record/recorder.ts'
import type { ImportTable, Schema } from './schema.ts'

export interface ImportWrites {
  /** Put an import on record before the rows that refer to it; `concludeImport` has to follow. */
  beginImport(row: Selectable<ImportTable>): Promise<void>
  /**
   * Insert the measurements of one import in the order given, which should be that of their cells.
   * A row whose part, cell and replicate are taken already is left out and reported.
   */
  insertMeasurements(
    importId: number,
    columns: MeasurementColumns,
    order: Uint32Array,
  ): Promise<readonly Duplicate[]>
  /** Insert what measurements of the import that are written were judged by, where each part has limits of its own. */
  insertOwnLimits(importId: number, columns: OwnLimitColumns): Promise<void>
  /** Put what came of an import in the place of what was said at its beginning. */
  concludeImport(row: Selectable<ImportTable>, partNumberIds: readonly number[]): Promise<void>
  /** Note on the receipt of an import which signals it caused, found out after it was concluded. */
  noteSignals(importId: number, signals: NonNullable<Receipt['signals']>): Promise<void>
  importName(importId: number): Promise<string | null>
}

export function importWrites(db: Kysely<Schema>, bulk: Bulk, record: Recorder): ImportWrites {
  /** Measurements inserted in this transaction, by import. */
  const inserted = new Map<number, number>()
  return {
    async beginImport(row) {
      await db.insertInto('import').values(row).execute()
    },

    async insertMeasurements(importId, columns, order) {
      const duplicates = await bulk.insertMeasurements(importId, columns, order)
      const before = inserted.get(importId) ?? 0
      inserted.set(importId, before + order.length - duplicates.length)
      return duplicates
    },

    insertOwnLimits: (importId, columns) => bulk.insertOwnLimits(importId, columns),

    async concludeImport({ id, ...row }, partNumberIds) {
      await db.updateTable('import').set(row).where('id', '=', id).executeTakeFirstOrThrow()
      await record.append({
        kind: 'import',
        at: row.at,
        who: row.who,
        about: [
          { kind: 'import', id },
          ...partNumberIds.map((partNumberId) => ({ kind: 'part-number' as const, id: partNumberId })),
        ],
        details: {
          file: row.sha256,
          bytes: row.bytes,
          kind: row.kind,
          verdict: row.verdict,
          rowsRead: row.rows_read,
          rowsTaken: row.rows_taken,
          rowsRefused: row.rows_refused,
          measurements: inserted.get(id) ?? 0,
        },
        words: { fileName: row.file_name },
      })
    },

    async noteSignals(importId, signals) {
      record.withoutEntry('the signals on a receipt follow from the data that are on record')
      // Somebody may have withdrawn the import since, or erased a name from its receipt: that stays, and is what is added to.
      for (let done = false; !done; ) {
        const row = await db
          .selectFrom('import')
          .select('receipt')
          .where('id', '=', importId)
          .executeTakeFirstOrThrow()
        const receipt = JSON.stringify({ ...JSON.parse(row.receipt), signals })
        const { numUpdatedRows } = await db
          .updateTable('import')
          .set({ receipt })
          .where('id', '=', importId)
          .where('receipt', '=', row.receipt)
          .executeTakeFirst()
        done = numUpdatedRows > 0n
      }
    },

    async importName(importId) {
      const row = await db
        .selectFrom('import')
        .select('file_name')
        .where('id', '=', importId)
        .executeTakeFirst()
      return row?.file_name ?? null
    },
  }
}
