import { type Kysely, sql } from 'kysely'
import { STAGES } from '../../src/domain/cell.ts'
import type { FileKind, Receipt, Withdrawal } from '../contract/receipt.ts'
import { noteLoads } from './build-loads.ts'
import type { Bulk } from './engine.ts'
import { recomputeCells } from './included-values.ts'
import type { Recorder } from './record/recorder.ts'
import { type Schema, STAGE_BITS } from './schema.ts'

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

export interface WithdrawalWrites {
  /**
   * Take the measurements of an import out again: its cells are computed anew from the values that stay, parts of which
   * nothing else is measured go, and its bytes may come again. What it had taken stays on record apart, and so do the
   * builds, furnace loads and characteristics that it brought. The readings of a gauge study stay where they are, and
   * count no more.
   *
   * @returns the import's receipt with the withdrawal on it; null where there is no such import of measurements or
   * readings, or it was withdrawn already
   */
  withdraw(importId: number, withdrawal: Withdrawal): Promise<Receipt | null>
}

/** The hash of a withdrawn import: no longer that of its bytes, so that they may come again. */
function released(sha256: string, importId: number): string {
  return `${sha256}-${importId}`
}

/** Builds, furnace loads and characteristics are corrected by another file instead. */
export const WITHDRAWABLE: ReadonlySet<FileKind> = new Set(['measurements', 'gauge-study'])

/** The hash that the column began as. */
export const HASH_LENGTH = 64

export function withdrawalWrites(db: Kysely<Schema>, bulk: Bulk, record: Recorder): WithdrawalWrites {
  return {
    async withdraw(importId, withdrawal) {
      const known = await db
        .selectFrom('import')
        .leftJoin('withdrawal', 'withdrawal.import_id', 'import.id')
        .select(['import.kind', 'import.sha256', 'import.receipt', 'withdrawal.import_id as withdrawn'])
        .where('import.id', '=', importId)
        .executeTakeFirst()
      if (known === undefined || !WITHDRAWABLE.has(known.kind) || known.withdrawn !== null) return null

      const cells = await db
        .selectFrom('measurement')
        .innerJoin('cell', 'cell.id', 'measurement.cell_id')
        .where('measurement.import_id', '=', importId)
        .select(['cell.id', 'cell.build_id'])
        .distinct()
        .execute()
      const parts = await db
        .selectFrom('measurement')
        .innerJoin('part', 'part.id', 'measurement.part_id')
        .where('measurement.import_id', '=', importId)
        .select(['part.id', 'part.part_number_id', 'part.build_id', 'part.stages'])
        .distinct()
        .execute()

      await keepApart(db, importId)
      await db.deleteFrom('own_limits').where('import_id', '=', importId).execute()
      const { numDeletedRows } = await db
        .deleteFrom('measurement')
        .where('import_id', '=', importId)
        .executeTakeFirstOrThrow()
      await recomputeCells(
        db,
        bulk,
        cells.map((cell) => cell.id),
      )
      const builds = [...new Set(cells.map((cell) => cell.build_id))]
      const partNumbers = [...new Set(parts.map((part) => part.part_number_id))]
      await setStages(db, parts, builds)
      await countAnew(db, builds, partNumbers)

      const receipt: Receipt = { ...(JSON.parse(known.receipt) as Receipt), withdrawn: withdrawal }
      await db
        .insertInto('withdrawal')
        .values({ import_id: importId, ...withdrawal })
        .execute()
      await db
        .updateTable('import')
        .set({ sha256: released(known.sha256, importId), receipt: JSON.stringify(receipt) })
        .where('id', '=', importId)
        .execute()
      await record.append({
        kind: 'withdrawal',
        at: withdrawal.at,
        who: withdrawal.who,
        about: [
          { kind: 'import', id: importId },
          ...partNumbers.map((id) => ({ kind: 'part-number' as const, id })),
        ],
        details: { measurements: Number(numDeletedRows) },
        words: { reason: withdrawal.reason },
        row: { table: 'withdrawal', key: { import_id: importId } },
      })
      return receipt
    },
  }
}

async function keepApart(db: Kysely<Schema>, importId: number): Promise<void> {
  await db
    .insertInto('withdrawn_measurement')
    .columns([
      'import_id',
      'number',
      'line',
      'serial',
      'characteristic_id',
      'build_id',
      'furnace_load_id',
      'stage',
      'replicate',
      'value',
      'gauge_id',
      'inspector_id',
      'measured_at',
      'measured',
      'own_lower',
      'own_upper',
    ])
    .expression((eb) =>
      eb
        .selectFrom('measurement as m')
        .innerJoin('cell as c', 'c.id', 'm.cell_id')
        .innerJoin('part as p', 'p.id', 'm.part_id')
        .leftJoin('own_limits as o', (join) =>
          join
            .onRef('o.part_id', '=', 'm.part_id')
            .onRef('o.characteristic_id', '=', 'c.characteristic_id')
            .onRef('o.stage', '=', 'c.stage')
            .onRef('o.replicate', '=', 'm.replicate'),
        )
        .where('m.import_id', '=', importId)
        .select([
          'm.import_id',
          sql<number>`row_number() over (order by m.line, m.cell_id, m.part_id, m.replicate)`.as('number'),
          'm.line',
          'p.serial',
          'c.characteristic_id',
          'c.build_id',
          'c.furnace_load_id',
          'c.stage',
          'm.replicate',
          'm.value',
          'm.gauge_id',
          'm.inspector_id',
          'm.measured_at',
          'o.measured',
          'o.lower as own_lower',
          'o.upper as own_upper',
        ]),
    )
    .execute()
}

export type TouchedPart = { id: number; part_number_id: number; build_id: number; stages: number }

/** Set the stages that each part is still measured at; a part without any goes. */
export async function setStages(
  db: Kysely<Schema>,
  parts: readonly TouchedPart[],
  builds: readonly number[],
): Promise<void> {
  const left = new Map<number, number>()
  for (const some of pieces(builds)) {
    const rows = await db
      .selectFrom('cell')
      .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
      .where('cell.build_id', 'in', some)
      .select(['measurement.part_id', 'cell.stage'])
      .distinct()
      .execute()
    for (const { part_id, stage } of rows) left.set(part_id, (left.get(part_id) ?? 0) | STAGE_BITS[stage])
  }
  const gone: number[] = []
  const byStages = new Map<number, number[]>()
  for (const { id, stages } of parts) {
    const now = left.get(id) ?? 0
    if (now === 0) gone.push(id)
    else if (now !== stages) byStages.set(now, [...(byStages.get(now) ?? []), id])
  }
  for (const [stages, ids] of byStages) {
    for (const some of pieces(ids))
      await db.updateTable('part').set({ stages }).where('id', 'in', some).execute()
  }
  for (const some of pieces(gone)) await db.deleteFrom('part').where('id', 'in', some).execute()
}

/** Count measured parts, and find their gauges and furnace loads, anew for these builds and part numbers. */
export async function countAnew(
  db: Kysely<Schema>,
  builds: readonly number[],
  partNumbers: readonly number[],
): Promise<void> {
  if (partNumbers.length === 0) return
  for (const some of pieces(builds)) {
    for (const table of ['measured_build', 'build_gauge', 'build_load'] as const) {
      await db
        .deleteFrom(table)
        .where('build_id', 'in', some)
        .where('part_number_id', 'in', partNumbers)
        .execute()
    }
    for (const stage of STAGES) {
      const bit = STAGE_BITS[stage]
      const counts = await db
        .selectFrom('part')
        .where('build_id', 'in', some)
        .where('part_number_id', 'in', partNumbers)
        .where(sql<boolean>`(stages & ${sql.lit(bit)}) <> 0`)
        .groupBy(['part_number_id', 'build_id'])
        .select((eb) => ['part_number_id', 'build_id', eb.fn.countAll<number>().as('parts')])
        .execute()
      for (const row of counts) {
        await db
          .insertInto('measured_build')
          .values({ ...row, stage, parts: Number(row.parts) })
          .execute()
      }
    }
    const gauges = await db
      .selectFrom('cell')
      .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
      .innerJoin('characteristic', 'characteristic.id', 'cell.characteristic_id')
      .where('cell.build_id', 'in', some)
      .where('characteristic.part_number_id', 'in', partNumbers)
      .where('measurement.gauge_id', 'is not', null)
      .select(['cell.build_id', 'characteristic.part_number_id', 'cell.stage', 'measurement.gauge_id'])
      .distinct()
      .execute()
    for (const { gauge_id, ...row } of gauges) {
      await db
        .insertInto('build_gauge')
        .values({ ...row, gauge_id: gauge_id as number })
        .execute()
    }
    const cells = await db
      .selectFrom('cell')
      .innerJoin('characteristic', 'characteristic.id', 'cell.characteristic_id')
      .where('cell.build_id', 'in', some)
      .where('characteristic.part_number_id', 'in', partNumbers)
      .select(['cell.id', 'characteristic_id', 'build_id', 'furnace_load_id', 'stage'])
      .execute()
    await noteLoads(db, cells)
  }
}

function* pieces<T>(all: readonly T[]): Generator<T[]> {
  for (let i = 0; i < all.length; i += AT_ONCE) yield all.slice(i, i + AT_ONCE)
}
