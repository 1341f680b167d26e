import type { Kysely } from 'kysely'
import { parsed } from '../record/chain-walk.ts'
import { rowHash } from '../record/entry-hash.ts'
import { plainRows, type WrittenRow } from '../record/recorder.ts'
import type { Schema } from '../schema.ts'

type RowSaid = WrittenRow & { readonly sha256: string }

/** Rows that entries of the record speak of, as they were before an erasure. */
export class RowsOnRecord {
  readonly #db: Kysely<Schema>
  /** Rows that are as their entries say, by sequence. */
  readonly #intact: ReadonlyMap<number, RowSaid>

  private constructor(db: Kysely<Schema>, intact: ReadonlyMap<number, RowSaid>) {
    this.#db = db
    this.#intact = intact
  }

  static async read(db: Kysely<Schema>): Promise<RowsOnRecord> {
    const intact = new Map<number, RowSaid>()
    const entries = await db
      .selectFrom('record_personal')
      .where('content', 'like', '%"row":%')
      .select(['sequence', 'content'])
      .execute()
    for (const { sequence, content } of entries) {
      const { row } = (parsed(content) ?? {}) as { row?: RowSaid }
      if (row !== undefined && (await hashNow(db, row)) === row.sha256) intact.set(sequence, row)
    }
    return new RowsOnRecord(db, intact)
  }

  /** Hashes by sequence of those rows of these tables that are otherwise by now. */
  async changedSince(tables: ReadonlySet<string>): Promise<ReadonlyMap<number, RowSaid>> {
    const changed = new Map<number, RowSaid>()
    for (const [sequence, row] of this.#intact) {
      if (!tables.has(row.table)) continue
      const sha256 = await hashNow(this.#db, row)
      if (sha256 !== null && sha256 !== row.sha256) changed.set(sequence, { ...row, sha256 })
    }
    return changed
  }
}

async function hashNow(db: Kysely<Schema>, { table, key }: WrittenRow): Promise<string | null> {
  const [row] = await plainRows(db, table, [key])
  return row === undefined ? null : rowHash(row)
}
