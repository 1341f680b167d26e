import type { Kysely } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { Schema } from './schema.ts'

export interface TypingReads {
  /** Which gauges measured each characteristic in these builds. */
  gaugesByCharacteristic(
    partNumberId: number,
    stage: Stage,
    builds: readonly number[],
  ): Promise<readonly { readonly characteristicId: number; readonly gauge: string }[]>
}

export function typingReads(db: Kysely<Schema>): TypingReads {
  return {
    async gaugesByCharacteristic(partNumberId, stage, builds) {
      if (builds.length === 0) return []
      return await db
        .selectFrom('cell')
        .innerJoin('characteristic', 'characteristic.id', 'cell.characteristic_id')
        .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
        .innerJoin('gauge', 'gauge.id', 'measurement.gauge_id')
        .where('characteristic.part_number_id', '=', partNumberId)
        .where('cell.stage', '=', stage)
        .where('cell.build_id', 'in', builds)
        .select(['cell.characteristic_id as characteristicId', 'gauge.name as gauge'])
        .distinct()
        .orderBy('gauge.name')
        .execute()
    },
  }
}
