import type { Kysely } from 'kysely'
import type { Schema } from '../schema.ts'
import { parsed, subjectsOf, type WalkedEntry } from './chain-walk.ts'
import { rowHash } from './entry-hash.ts'
import type { Faults } from './faults.ts'
import { checkOwnLimits } from './own-limits-checks.ts'
import { plainRows, type WrittenRow } from './recorder.ts'

/** Tables of what people decide, each row of which has an entry unless it was there before the record. */
const RECORDED = {
  study_version: ['characteristic_id', 'stage', 'version'],
  exclusion: ['id'],
  finding: ['id', 'revision'],
  remark: ['id', 'revision'],
  factor_decision: ['id'],
  factor_decision_taken_back: ['decision_id'],
  shrinkage_settings: ['part_number_id', 'version'],
  customer_requirements: ['part_number_id', 'version'],
  notice_settings: ['version'],
  report: ['id'],
  withdrawal: ['import_id'],
  gauge_entry: ['gauge_id', 'version'],
  gauge_plan: ['id'],
} as const satisfies { readonly [T in keyof Schema]?: readonly (keyof Schema[T])[] }

type RecordedTable = keyof typeof RECORDED

const IN_WORDS: Readonly<Record<RecordedTable, string>> = {
  study_version: 'version of a study',
  exclusion: 'exclusion',
  finding: 'finding',
  remark: 'remark',
  factor_decision: 'decision about scale factors',
  factor_decision_taken_back: 'taking back of scale factors',
  shrinkage_settings: 'version of the shrinkage settings',
  customer_requirements: 'version of the customer’s requirements',
  notice_settings: 'version of the receivers of notices',
  report: 'report',
  withdrawal: 'withdrawal',
  gauge_entry: 'entry of a gauge',
  gauge_plan: 'plan of a gauge study',
}

/** Keys to one statement: an expression of SQLite may be a thousand levels deep. */
const KEYS_AT_ONCE = 200
/** Cells whose measurements are counted at a time. */
const CELLS_AT_ONCE = 5000

/** What an entry says of a file taken in. */
interface ImportSaid {
  readonly sequence: number
  readonly file: string
  readonly rowsRead: number
  readonly rowsTaken: number
  readonly rowsRefused: number
  readonly measurements: number
}

/** Compares entries with the rows that they speak of. To be shown every entry, then finished. */
export class TableChecks {
  readonly #db: Kysely<Schema>
  readonly #faults: Faults
  rows = 0
  readonly #seen = new Map<RecordedTable, Set<string>>()
  readonly #imports = new Map<number, ImportSaid>()
  /** Measurements that erasures took out of each import. */
  readonly #erased = new Map<number, number>()
  /** Kept files that had to go. */
  readonly #filesErased = new Set<string>()
  #before: { rows?: Record<string, number>; last?: Record<string, number> } = {}

  constructor(db: Kysely<Schema>, faults: Faults) {
    this.#db = db
    this.#faults = faults
  }

  async visit(entries: readonly WalkedEntry[]): Promise<void> {
    const byTable = new Map<string, { sequence: number; key: WrittenRow['key']; sha256: string | null }[]>()
    for (const entry of entries) {
      const details = (parsed(entry.details) ?? {}) as Record<string, unknown>
      if (entry.kind === 'beginning') this.#before = details
      if (entry.kind === 'import') this.#noteImport(entry, details)
      if (entry.kind === 'erasure') this.#noteErasure(details)
      const { row } = (parsed(entry.words?.content ?? '{}') ?? {}) as {
        row?: { table: string; key: WrittenRow['key']; sha256: string | null }
      }
      if (row === undefined || row === null) continue
      this.#noteSeen(row)
      // What was spoilt is a fault already, and may name anything.
      if (!entry.isIntact) continue
      const own = byTable.get(row.table)
      if (own === undefined) byTable.set(row.table, [{ sequence: entry.sequence, ...row }])
      else own.push({ sequence: entry.sequence, ...row })
    }
    for (const [table, rows] of byTable) {
      for (let i = 0; i < rows.length; i += KEYS_AT_ONCE) {
        await this.#compare(table, rows.slice(i, i + KEYS_AT_ONCE))
      }
    }
  }

  #noteSeen({ table, key }: { readonly table: string; readonly key: WrittenRow['key'] }): void {
    if (!Object.hasOwn(RECORDED, table)) return
    const own = table as RecordedTable
    const seen = this.#seen.get(own) ?? new Set()
    seen.add(RECORDED[own].map((column: string) => key?.[column]).join(' '))
    this.#seen.set(own, seen)
  }

  async #compare(
    table: string,
    said: readonly { sequence: number; key: WrittenRow['key']; sha256: string | null }[],
  ): Promise<void> {
    const columns = Object.keys(said[0]?.key ?? {})
    const found = await plainRows(
      this.#db,
      table,
      said.map(({ key }) => key),
    )
    const keyText = (row: Readonly<Record<string, unknown>>) => columns.map((column) => row[column]).join(' ')
    const byKey = new Map(found.map((row) => [keyText(row), row]))
    const what = IN_WORDS[table as RecordedTable] ?? `row of ${table}`
    for (const { sequence, key, sha256 } of said) {
      this.rows++
      const row = byKey.get(keyText(key))
      if (row === undefined)
        this.#faults.add('row', sequence, `The ${what} that entry ${sequence} speaks of is gone.`)
      else if (rowHash(row) !== sha256) {
        this.#faults.add('row', sequence, `The ${what} that entry ${sequence} speaks of was changed.`)
      }
    }
  }

  #noteImport({ sequence, about }: WalkedEntry, details: Record<string, unknown>): void {
    const subject = subjectsOf(about).find(({ kind }) => kind === 'import')
    if (subject !== undefined)
      this.#imports.set(subject.id, { ...(details as unknown as ImportSaid), sequence })
  }

  #noteErasure(details: Record<string, unknown>): void {
    const { measurements, files } = details as { measurements?: Record<string, number>; files?: string[] }
    for (const [id, count] of Object.entries(measurements ?? {})) {
      this.#erased.set(Number(id), (this.#erased.get(Number(id)) ?? 0) + count)
    }
    for (const file of files ?? []) this.#filesErased.add(file)
  }

  /** After the last entry: what has none, and whether imports are as their entries say. */
  async finish(): Promise<void> {
    for (const table of Object.keys(RECORDED) as RecordedTable[]) await this.#findUnrecorded(table)
    await this.#checkImports()
    await checkOwnLimits(this.#db, this.#faults)
  }

  get imports(): number {
    return this.#imports.size
  }

  /** Hashes of kept files that an erasure took. */
  erasedFiles(): ReadonlySet<string> {
    return this.#filesErased
  }

  /** Hashes of the files that imports were taken from and that should be kept still, with their entries. */
  keptFiles(): ReadonlyMap<string, number> {
    const files = new Map<string, number>()
    for (const { file, sequence } of this.#imports.values()) {
      if (!this.#filesErased.has(file)) files.set(file, sequence)
    }
    return files
  }

  async #findUnrecorded(table: RecordedTable): Promise<void> {
    const columns: readonly string[] = RECORDED[table]
    const seen = this.#seen.get(table)
    const rows = await plainRows(this.#db, table, null, columns)
    const without = rows.filter((row) => !seen?.has(columns.map((column) => row[column]).join(' ')))
    const before = this.#before.rows?.[table] ?? 0
    if (without.length === before) return
    const last = this.#before.last?.[table] ?? 0
    const which = without
      .map((row) => columns.map((column) => row[column]).join('/'))
      .filter((key) => columns[0] !== 'id' || Number(key.split('/')[0]) > last)
      .slice(0, 10)
      .join(', ')
    const what = IN_WORDS[table]
    this.#faults.add(
      'unrecorded',
      null,
      without.length > before
        ? `${without.length - before} × ${what} without an entry in the record${which === '' ? '' : ` (${which})`}.`
        : `${before - without.length} × ${what} that was there before the record is gone.`,
    )
  }

  async #checkImports(): Promise<void> {
    const rows = await this.#db
      .selectFrom('import')
      .select(['id', 'sha256', 'rows_read', 'rows_taken', 'rows_refused'])
      .execute()
    const byId = new Map(rows.map((row) => [row.id, row]))
    const last = this.#before.last?.import ?? 0
    for (const { id } of rows) {
      if (id > last && !this.#imports.has(id)) {
        this.#faults.add('unrecorded', null, `Import ${id} has no entry in the record.`)
      }
    }
    const counts = await this.#countMeasurements()
    for (const [id, said] of this.#imports) {
      const { sequence } = said
      const row = byId.get(id)
      if (row === undefined) {
        this.#faults.add('row', sequence, `Import ${id} of entry ${sequence} is gone.`)
        continue
      }
      // A withdrawn import gives its hash free, with its number behind it.
      const file = row.sha256.slice(0, said.file.length)
      const same =
        file === said.file &&
        row.rows_read === said.rowsRead &&
        row.rows_taken === said.rowsTaken &&
        row.rows_refused === said.rowsRefused
      if (!same) this.#faults.add('row', sequence, `Import ${id} is not as entry ${sequence} says.`)
      const count = (counts.get(id) ?? 0) + (this.#erased.get(id) ?? 0)
      if (count !== said.measurements) {
        const erased = this.#erased.has(id) ? ' with those erased' : ''
        this.#faults.add(
          'row',
          sequence,
          `Import ${id} has ${count} measurements${erased}, but entry ${sequence} says ${said.measurements}.`,
        )
      }
    }
  }

  /** Measurements of each import, withdrawn ones among them; some cells at a time, since others want to read too. */
  async #countMeasurements(): Promise<ReadonlyMap<number, number>> {
    const counts = new Map<number, number>()
    const add = (rows: readonly { import_id: number; count: unknown }[]) => {
      for (const { import_id, count } of rows) {
        counts.set(import_id, (counts.get(import_id) ?? 0) + Number(count))
      }
    }
    const last = await this.#db
      .selectFrom('cell')
      .select((eb) => eb.fn.max('id').as('id'))
      .executeTakeFirst()
    for (let from = 0; from <= Number(last?.id ?? 0); from += CELLS_AT_ONCE) {
      add(
        await this.#db
          .selectFrom('measurement')
          .where('cell_id', '>=', from)
          .where('cell_id', '<', from + CELLS_AT_ONCE)
          .groupBy('import_id')
          .select((eb) => ['import_id', eb.fn.countAll().as('count')])
          .execute(),
      )
      await new Promise((resolve) => setImmediate(resolve))
    }
    add(
      await this.#db
        .selectFrom('withdrawn_measurement')
        .groupBy('import_id')
        .select((eb) => ['import_id', eb.fn.countAll().as('count')])
        .execute(),
    )
    return counts
  }
}
