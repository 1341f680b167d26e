import { createHash } from 'node:crypto'
import { type Kysely, sql } from 'kysely'
import type { Engine, MeasurementColumns, Transaction } from './engine.ts'
import { countedValues, momentsByCell } from './included-values.ts'
import type { StoreLocation } from './location.ts'
import { openEngine } from './open-engine.ts'
import type { MeasurementTable, Schema } from './schema.ts'

/** Changes of cells are noted anew where they are copied to. */
type CopiedTable = Exclude<keyof Schema, 'schema_version' | 'measurement' | 'cell_change'>

/** Columns that tell the rows of each table apart, in an order in which rows come after those they refer to. */
const KEYS: { readonly [T in CopiedTable]: readonly (keyof Schema[T] & string)[] } = {
  part_number: ['id'],
  characteristic: ['id'],
  build: ['id'],
  furnace_load: ['id'],
  gauge: ['id'],
  inspector: ['id'],
  import: ['id'],
  part: ['id'],
  cell: ['id'],
  cell_buckets: ['cell_id'],
  own_limits: ['part_id', 'characteristic_id', 'stage', 'replicate'],
  measured_build: ['part_number_id', 'stage', 'build_id'],
  build_gauge: ['part_number_id', 'stage', 'build_id', 'gauge_id'],
  build_load: ['part_number_id', 'stage', 'build_id', 'furnace_load_id'],
  token: ['id'],
  layout: ['fingerprint'],
  withdrawal: ['import_id'],
  withdrawn_measurement: ['import_id', 'number'],
  study_version: ['characteristic_id', 'stage', 'version'],
  exclusion: ['id'],
  finding: ['id', 'revision'],
  remark: ['id', 'revision'],
  repeat_choice: ['characteristic_id', 'stage'],
  report: ['id'],
  report_copy: ['sha256'],
  factor_decision: ['id'],
  factor_decision_taken_back: ['decision_id'],
  shrinkage_settings: ['part_number_id', 'version'],
  customer_requirements: ['part_number_id', 'version'],
  record_entry: ['sequence'],
  record_personal: ['sequence'],
  record_about: ['kind', 'id', 'sequence'],
  record_erased: ['sequence', 'erasure'],
  gauge_entry: ['gauge_id', 'version'],
  gauge_plan: ['id'],
  gauge_study: ['id'],
  gauge_reading: ['study_id', 'number'],
  person: ['id'],
  password_link: ['sha256'],
  guest_link: ['id'],
  session: ['id'],
  token_scope: ['token_id', 'scope'],
  notice_settings: ['version'],
  webhook_secret: ['id'],
  watched_series: ['part_number_id', 'stage'],
  event_notice: ['id'],
  known_event: ['id'],
  notice_delivery: ['id'],
}

/** Parameters to one statement, below the least limit of the dialects. */
const PARAMETERS = 30_000
const MEASUREMENTS_AT_ONCE = 1 << 16

/** Records copied, by table. */
export type CopiedRecords = Readonly<Record<CopiedTable | 'measurement', number>>

/** Why a copy was not made, or not kept. */
export class CopyError extends Error {
  override readonly name: string = 'CopyError'
}

/**
 * Copy everything from one database into another, which must be empty, and read it back: every record has to be
 * the same, and every cell has to hold the count, extremes and mean of its values. Only then is the copy committed.
 * Nothing can be written to the source meanwhile; readers are not disturbed.
 *
 * @param onProgress told the table at work and how many of its records are through
 * @throws CopyError where the target holds something, or what was read back differs
 */
export async function copyDatabase(
  from: StoreLocation,
  to: StoreLocation,
  onProgress: (table: string, records: number) => void = () => undefined,
): Promise<CopiedRecords> {
  const source = await openEngine(from)
  try {
    const target = await openEngine(to)
    try {
      return await inTransactions(source, target, (reading, writing) => copyAll(reading, writing, onProgress))
    } finally {
      await target.close()
    }
  } finally {
    await source.close()
  }
}

async function inTransactions<T>(
  source: Engine,
  target: Engine,
  work: (reading: Transaction, writing: Transaction) => Promise<T>,
): Promise<T> {
  const reading = await source.begin('alone')
  try {
    const writing = await target.begin('alone')
    try {
      const result = await work(reading, writing)
      await writing.commit(false)
      return result
    } catch (error) {
      await writing.rollback()
      throw error
    }
  } finally {
    await reading.rollback()
  }
}

async function copyAll(
  { db: source }: Transaction,
  writing: Transaction,
  onProgress: (table: string, records: number) => void,
): Promise<CopiedRecords> {
  const target = writing.db
  const counts: Record<string, number> = {}
  for (const table of Object.keys(KEYS) as CopiedTable[]) {
    if ((await countOf(target, table)) > 0) {
      throw new CopyError(`The target has records in its table ${table}; copy into an empty database.`)
    }
  }
  for (const table of Object.keys(KEYS) as CopiedTable[]) {
    // A new cell is made empty, as the intake makes it; what it holds follows.
    const read = createHash('sha256')
    let copied = 0
    for await (const rows of rowsOf(source, table)) {
      if (table === 'cell') await writing.bulk.insertCells(rows as never)
      await insertRows(target, table, rows)
      digest(read, rows)
      copied += rows.length
      onProgress(table, copied)
    }
    const written = createHash('sha256')
    for await (const rows of rowsOf(target, table)) digest(written, rows)
    if (read.digest('hex') !== written.digest('hex') || (await countOf(target, table)) !== copied) {
      throw new CopyError(`What was read back from the table ${table} differs from what was copied.`)
    }
    counts[table] = copied
  }
  counts.measurement = await copyMeasurements(source, writing, (n) => onProgress('measurement', n))
  return counts as unknown as CopiedRecords
}

/** Plain rows, since the copy is the same for every table. */
type Row = Record<string, unknown>

const plain = (db: Kysely<Schema>) => db as unknown as Kysely<Record<string, Row>>

async function countOf(db: Kysely<Schema>, table: string): Promise<number> {
  const row = await plain(db)
    .selectFrom(table)
    .select((eb) => eb.fn.countAll().as('count'))
    .executeTakeFirstOrThrow()
  return Number(row.count)
}

/** All rows in the order of their key, piece by piece. */
async function* rowsOf(db: Kysely<Schema>, table: CopiedTable): AsyncGenerator<readonly Row[]> {
  const keys = KEYS[table] as readonly string[]
  let last: Row | null = null
  for (;;) {
    let query = plain(db).selectFrom(table).selectAll()
    for (const key of keys) query = query.orderBy(key)
    if (last !== null) {
      const after = last
      const tuple = sql.join(keys.map((key) => sql.ref(key)))
      const values = sql.join(keys.map((key) => sql.val(after[key])))
      query = query.where(sql<boolean>`(${tuple}) > (${values})`)
    }
    const rows: readonly Row[] = await query.limit(1000).execute()
    if (rows.length === 0) return
    yield rows
    last = rows[rows.length - 1] as Row
  }
}

async function insertRows(db: Kysely<Schema>, table: CopiedTable, rows: readonly Row[]): Promise<void> {
  const atOnce = Math.floor(PARAMETERS / Object.keys(rows[0] as Row).length)
  for (let i = 0; i < rows.length; i += atOnce) {
    let insert = plain(db)
      .insertInto(table)
      .values(rows.slice(i, i + atOnce))
    if (table === 'cell') {
      insert = insert.onConflict((conflict) =>
        conflict
          .column('id')
          .doUpdateSet((eb) =>
            Object.fromEntries(
              ['n', 'mean', 'm2', 'min', 'max'].map((column) => [column, eb.ref(`excluded.${column}`)]),
            ),
          ),
      )
    }
    await insert.execute()
  }
}

function digest(hash: ReturnType<typeof createHash>, rows: readonly Row[]): void {
  for (const row of rows) {
    // Databases give columns in orders of their own.
    hash.update(JSON.stringify(Object.entries(row).sort(([a], [b]) => (a < b ? -1 : 1))))
  }
}

type Measurement = Readonly<MeasurementTable>

async function copyMeasurements(
  source: Kysely<Schema>,
  writing: Transaction,
  onProgress: (records: number) => void,
): Promise<number> {
  let copied = 0
  for await (const { from, to } of stretches(source)) {
    const rows = await measurementsOf(source, from, to)
    // One file at a time, as the intake writes them.
    const byImport = groupedBy(rows, 'import_id')
    for (const [importId, own] of byImport) {
      const order = Uint32Array.from(own, (_, i) => i)
      await writing.bulk.insertMeasurements(importId, columnsOf(own), order)
    }
    const readBack = await measurementsOf(writing.db, from, to)
    const [read, written] = [createHash('sha256'), createHash('sha256')]
    digest(read, rows as unknown as Row[])
    digest(written, readBack as unknown as Row[])
    if (read.digest('hex') !== written.digest('hex')) {
      throw new CopyError(`What was read back from the measurements of cells ${from} to ${to} differs.`)
    }
    await checkCells(writing.db, from, to, readBack)
    copied += rows.length
    onProgress(copied)
  }
  for (const db of [source, writing.db]) {
    const count = await countOf(db, 'measurement')
    if (count !== copied)
      throw new CopyError(`${copied} measurements belong to cells, but there are ${count}.`)
  }
  return copied
}

/** Stretches of cells, each with about as many measurements as are copied at once. */
async function* stretches(db: Kysely<Schema>): AsyncGenerator<{ from: number; to: number }> {
  let from = 0
  let to = 0
  let n = 0
  for await (const rows of rowsOf(db, 'cell')) {
    for (const row of rows) {
      to = row.id as number
      // One more, since a cell of which everything is left out has values too.
      n += (row.n as number) + 1
      if (n < MEASUREMENTS_AT_ONCE) continue
      yield { from, to }
      from = to + 1
      n = 0
    }
  }
  if (n > 0) yield { from, to }
}

async function measurementsOf(db: Kysely<Schema>, from: number, to: number): Promise<Measurement[]> {
  return await db
    .selectFrom('measurement')
    .selectAll()
    .where('cell_id', '>=', from)
    .where('cell_id', '<=', to)
    .orderBy('cell_id')
    .orderBy('part_id')
    .orderBy('replicate')
    .execute()
}

function groupedBy(
  rows: readonly Measurement[],
  column: 'import_id' | 'cell_id',
): ReadonlyMap<number, readonly Measurement[]> {
  const groups = new Map<number, Measurement[]>()
  for (const row of rows) {
    const group = groups.get(row[column])
    if (group === undefined) groups.set(row[column], [row])
    else group.push(row)
  }
  return groups
}

function columnsOf(rows: readonly Measurement[]): MeasurementColumns {
  return {
    cell: Int32Array.from(rows, (row) => row.cell_id),
    part: Int32Array.from(rows, (row) => row.part_id),
    replicate: Int32Array.from(rows, (row) => row.replicate),
    value: Float64Array.from(rows, (row) => row.value),
    gauge: Int32Array.from(rows, (row) => row.gauge_id ?? 0),
    inspector: Int32Array.from(rows, (row) => row.inspector_id ?? 0),
    measuredAt: Float64Array.from(rows, (row) => row.measured_at ?? Number.NaN),
    line: Int32Array.from(rows, (row) => row.line),
  }
}

/**
 * Whether each cell sums up its values that are not left out: count and extremes exactly, the mean but for the rounding
 * of merging.
 */
async function checkCells(
  db: Kysely<Schema>,
  from: number,
  to: number,
  rows: readonly Measurement[],
): Promise<void> {
  const cells = await db
    .selectFrom('cell')
    .select(['id', 'n', 'mean', 'min', 'max'])
    .where('id', '>=', from)
    .where('id', '<=', to)
    .execute()
  const values = groupedBy(rows, 'cell_id')
  const counted = momentsByCell(await countedValues(db, columnsOf(rows)))
  for (const cell of cells) {
    if (!values.has(cell.id)) throw new CopyError(`Cell ${cell.id} has no values.`)
    const moments = counted.get(cell.id) ?? { n: 0, mean: 0, min: 0, max: 0 }
    const rounding = 1e-12 * Math.max(Math.abs(moments.min), Math.abs(moments.max))
    const same =
      moments.n === cell.n &&
      moments.min === cell.min &&
      moments.max === cell.max &&
      Math.abs(moments.mean - cell.mean) <= rounding
    if (!same) throw new CopyError(`Cell ${cell.id} does not sum up its values.`)
  }
}
