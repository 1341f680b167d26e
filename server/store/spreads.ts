import type { Kysely } from 'kysely'
import type { Moments } from '../../src/description/moments.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Schema } from './schema.ts'

/** The values of a characteristic in one build, furnace load and stage, summed up. */
export interface CellSpread extends Moments {
  readonly characteristicId: number
  readonly buildId: number
  readonly stage: Stage
}

/** A value of a part that is on record. */
export interface RecordedValue {
  readonly partId: number
  readonly replicate: number
  /** Seconds since 1970-01-01 UTC. */
  readonly measuredAt: number | null
  readonly importId: number
  readonly line: number
}

/** What the checks of a file ask of the record before its values are in. */
export interface SpreadReads {
  /** Every cell of the part number that holds values. */
  spreadsOf(partNumberId: number): Promise<CellSpread[]>
  /** Values of these parts in the cell. */
  valuesInCell(cellId: number, partIds: readonly number[]): Promise<RecordedValue[]>
}

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

export function spreadReads(db: Kysely<Schema>): SpreadReads {
  return {
    async spreadsOf(partNumberId) {
      return await db
        .selectFrom('cell')
        .innerJoin('characteristic', 'characteristic.id', 'cell.characteristic_id')
        .where('characteristic.part_number_id', '=', partNumberId)
        .where('cell.n', '>', 0)
        .select([
          'cell.characteristic_id as characteristicId',
          'cell.build_id as buildId',
          'cell.stage',
          'cell.n',
          'cell.mean',
          'cell.m2',
          'cell.min',
          'cell.max',
        ])
        .execute()
    },

    async valuesInCell(cellId, partIds) {
      const values: RecordedValue[] = []
      for (let i = 0; i < partIds.length; i += AT_ONCE) {
        const rows = await db
          .selectFrom('measurement')
          .where('cell_id', '=', cellId)
          .where('part_id', 'in', partIds.slice(i, i + AT_ONCE))
          .select([
            'part_id as partId',
            'replicate',
            'measured_at as measuredAt',
            'import_id as importId',
            'line',
          ])
          .orderBy('replicate')
          .execute()
        for (const row of rows) values.push(row)
      }
      return values
    },
  }
}
