import { type Kysely, sql } from 'kysely'
import type { Build } from '../../src/domain/build.ts'
import type { PartValue } from '../../src/shrinkage/part-deviations.ts'
import type { PartNumber } from '../contract/views.ts'
import { type FactorDecisionReads, factorDecisionReads } from './factor-decisions.ts'
import { COUNTS } from './included-values.ts'
import { naturalOrder } from './natural-order.ts'
import type { Schema } from './schema.ts'
import { type ShrinkageSettingsReads, shrinkageSettingsReads } from './shrinkage-settings.ts'
import { buildOf, type Dated, inOrderOfPrinting } from './timeline-builds.ts'

/** What the page on shrinkage reads beside timeline and cells. */
export interface ShrinkageReads extends FactorDecisionReads, ShrinkageSettingsReads {
  /**
   * Builds printed after the given one without a sintered part measured of any part number, or with parts of this one
   * measured green only; in the order of printing, the first `most` of them.
   */
  buildsAwaited(partNumberId: number, after: Dated, most: number): Promise<Build[]>
  /** Other part numbers with parts measured in these builds, in natural order. */
  partNumbersSharing(partNumberId: number, buildIds: readonly number[]): Promise<PartNumber[]>
  /**
   * Sintered values with the place of their part: means where a part was measured again, without single values that
   * are left out.
   */
  placedPartValues(characteristicIds: readonly number[], buildIds: readonly number[]): Promise<PartValue[]>
}

export function shrinkageReads(db: Kysely<Schema>): ShrinkageReads {
  return {
    ...factorDecisionReads(db),
    ...shrinkageSettingsReads(db),

    async buildsAwaited(partNumberId, after, most) {
      const rows = await db
        .selectFrom('build')
        .selectAll('build')
        .where((eb) => {
          const measured = eb
            .selectFrom('measured_build')
            .whereRef('measured_build.build_id', '=', 'build.id')
          const own = measured.where('measured_build.part_number_id', '=', partNumberId)
          return eb.and([
            eb.not(
              eb.exists(own.where('measured_build.stage', '=', 'sintered').select(sql.lit(1).as('one'))),
            ),
            eb.or([
              eb.exists(own.where('measured_build.stage', '=', 'green').select(sql.lit(1).as('one'))),
              eb.not(eb.exists(measured.select(sql.lit(1).as('one')))),
            ]),
          ])
        })
        .execute()
      return rows
        .map(buildOf)
        .filter((build) => inOrderOfPrinting(build, after) > 0)
        .sort(inOrderOfPrinting)
        .slice(0, most)
    },

    async partNumbersSharing(partNumberId, buildIds) {
      if (buildIds.length === 0) return []
      const rows = await db
        .selectFrom('part_number')
        .selectAll()
        .where('id', '!=', partNumberId)
        .where('id', 'in', (eb) =>
          eb.selectFrom('measured_build').select('part_number_id').where('build_id', 'in', buildIds),
        )
        .execute()
      return rows.sort((a, b) => naturalOrder(a.number, b.number) || naturalOrder(a.revision, b.revision))
    },

    async placedPartValues(characteristicIds, buildIds) {
      if (characteristicIds.length === 0 || buildIds.length === 0) return []
      const rows = await db
        .selectFrom('cell')
        .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
        .innerJoin('part', 'part.id', 'measurement.part_id')
        .leftJoin('furnace_load', 'furnace_load.id', 'cell.furnace_load_id')
        .where('cell.characteristic_id', 'in', characteristicIds)
        .where('cell.build_id', 'in', buildIds)
        .where('cell.stage', '=', 'sintered')
        .where(COUNTS)
        .where(
          sql<boolean>`not exists (
            select 1 from exclusion e
            where e.characteristic_id = cell.characteristic_id and e.stage = cell.stage and e.build_id = cell.build_id
              and e.serial is null
              and e.undoes is null and not exists (select 1 from exclusion u where u.undoes = e.id))`,
        )
        .groupBy([
          'cell.characteristic_id',
          'cell.build_id',
          'part.serial',
          'part.bed_x',
          'part.bed_y',
          'part.bed_z',
          'part.tray',
          'furnace_load.furnace',
        ])
        .select([
          'cell.characteristic_id as characteristicId',
          'cell.build_id as buildId',
          'part.serial as part',
          'part.bed_x as x',
          'part.bed_y as y',
          'part.bed_z as z',
          'part.tray',
          'furnace_load.furnace',
          sql<number>`avg(measurement.value)`.as('value'),
        ])
        .execute()
      return rows.map(({ x, y, z, tray, furnace, ...row }) => ({
        ...row,
        bed: x === null || y === null || z === null ? null : { x, y, z },
        tray: tray === null ? null : `${furnace ?? ''} ${tray}`,
      }))
    },
  }
}
