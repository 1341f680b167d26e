import type { Kysely } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { Schema } from './schema.ts'

/** A value on record of one part. */
export interface PartValue {
  readonly characteristicId: number
  readonly replicate: number
  readonly value: number
  /** Seconds since 1970-01-01 UTC; null where nothing says when. */
  readonly measuredAt: number | null
  readonly importId: number
  readonly line: number
}

export interface TypingReads {
  /** The build of a part and its values at a stage, by replicate; null where the part is not on record. */
  partValues(
    partNumberId: number,
    serial: string,
    stage: Stage,
  ): Promise<{ readonly build: string; readonly values: readonly PartValue[] } | null>
  /** Which gauges measured each characteristic in these builds. */
  gaugesByCharacteristic(
    partNumberId: number,
    stage: Stage,
    builds: readonly number[],
  ): Promise<readonly { readonly characteristicId: number; readonly gauge: string }[]>
}

export function typingReads(db: Kysely<Schema>): TypingReads {
  return {
    async partValues(partNumberId, serial, stage) {
      const part = await db
        .selectFrom('part')
        .innerJoin('build', 'build.id', 'part.build_id')
        .where('part.part_number_id', '=', partNumberId)
        .where('part.serial', '=', serial)
        .select(['part.id', 'part.build_id as buildId', 'build.name'])
        .executeTakeFirst()
      if (part === undefined) return null
      const values = await db
        .selectFrom('cell')
        .innerJoin('characteristic', 'characteristic.id', 'cell.characteristic_id')
        .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
        .where('characteristic.part_number_id', '=', partNumberId)
        .where('cell.build_id', '=', part.buildId)
        .where('cell.stage', '=', stage)
        .where('measurement.part_id', '=', part.id)
        .select([
          'cell.characteristic_id as characteristicId',
          'measurement.replicate',
          'measurement.value',
          'measurement.measured_at as measuredAt',
          'measurement.import_id as importId',
          'measurement.line',
        ])
        .orderBy('measurement.replicate')
        .execute()
      return { build: part.name, values }
    },

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
