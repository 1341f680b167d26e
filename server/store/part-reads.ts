import { setImmediate } from 'node:timers/promises'
import { type Kysely, type Selectable, sql } from 'kysely'
import type { Build, FurnaceLoad } from '../../src/domain/build.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { PartFound } from '../contract/parts.ts'
import type { TracedMeasurement } from '../contract/views.ts'
import { COUNTS } from './included-values.ts'
import { naturalOrder } from './natural-order.ts'
import type { PartTable, Schema } from './schema.ts'
import { buildOf, loadOf } from './timeline-builds.ts'
import { tracedMeasurements, withOwn } from './traced-measurements.ts'

/** One part and where it has been. */
export interface PartOnRecord {
  readonly id: number
  readonly serial: string
  readonly bed: { readonly x: number | null; readonly y: number | null; readonly z: number | null }
  readonly tray: string | null
  readonly trayPlace: string | null
  readonly build: Build
  readonly load: FurnaceLoad | null
}

export interface PartsOfBuild {
  readonly build: Build
  readonly parts: readonly (Omit<PartOnRecord, 'build' | 'load'> & { readonly load: string | null })[]
}

/** One measurement of a part, and what its neighbours in build and load came to. */
export interface MeasurementOfPart extends TracedMeasurement {
  readonly partId: number
  readonly serial: string
  readonly characteristicId: number
  readonly stage: Stage
  /** Whether it goes into charts and figures. */
  readonly counts: boolean
  /** Values that count of the same build and load, their mean and sum of squared deviations. */
  readonly cell: { readonly n: number; readonly mean: number; readonly m2: number }
}

/** Serial numbers looked at in one go, which takes SQLite some ten milliseconds: no index finds a piece of one. */
const PARTS_LOOKED_AT = 50_000

export interface PartReads {
  part(partNumberId: number, serial: string): Promise<PartOnRecord | null>
  /** The parts of a part number in one build, by serial number in natural order; null where there is no such build. */
  partsOfBuild(partNumberId: number, build: string): Promise<PartsOfBuild | null>
  /**
   * All measurements that were not withdrawn of some parts of one part number and build, by part, characteristic, stage
   * and replicate.
   *
   * @param partIds not more than 500
   */
  measurementsOfParts(
    partNumberId: number,
    buildId: number,
    partIds: readonly number[],
  ): Promise<MeasurementOfPart[]>
  /**
   * Parts of any part number whose serial number holds the text, in small or capital letters; of many, some of those
   * that came last.
   */
  partsNamed(text: string, most: number): Promise<PartFound[]>
}

export function partReads(db: Kysely<Schema>): PartReads {
  return {
    async part(partNumberId, serial) {
      const row = await db
        .selectFrom('part')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .where('serial', '=', serial)
        .executeTakeFirst()
      if (row === undefined) return null
      const build = await db
        .selectFrom('build')
        .selectAll()
        .where('id', '=', row.build_id)
        .executeTakeFirstOrThrow()
      const load =
        row.furnace_load_id === null
          ? null
          : await db
              .selectFrom('furnace_load')
              .selectAll()
              .where('id', '=', row.furnace_load_id)
              .executeTakeFirstOrThrow()
      return {
        ...placeOf(row),
        build: buildOf(build),
        load: load === null ? null : loadOf(load),
      }
    },

    async partsOfBuild(partNumberId, name) {
      const build = await db.selectFrom('build').selectAll().where('name', '=', name).executeTakeFirst()
      if (build === undefined) return null
      const rows = await db
        .selectFrom('part')
        .leftJoin('furnace_load', 'furnace_load.id', 'part.furnace_load_id')
        .where('part.part_number_id', '=', partNumberId)
        .where('part.build_id', '=', build.id)
        .selectAll('part')
        .select('furnace_load.name as load')
        .execute()
      return {
        build: buildOf(build),
        parts: rows
          .map((row) => ({ ...placeOf(row), load: row.load }))
          .sort((a, b) => naturalOrder(a.serial, b.serial)),
      }
    },

    async measurementsOfParts(partNumberId, buildId, partIds) {
      const rows = await tracedMeasurements(db)
        // By the cells of their build, since measurements lie in the order of their cells.
        .where('cell.build_id', '=', buildId)
        .where('measurement.part_id', 'in', partIds)
        .where('part.part_number_id', '=', partNumberId)
        .select([
          'measurement.part_id as partId',
          'part.serial',
          'cell.characteristic_id as characteristicId',
          'cell.stage',
          'cell.n',
          'cell.mean',
          'cell.m2',
          COUNTS.as('counts'),
        ])
        .orderBy('measurement.part_id')
        .orderBy('cell.characteristic_id')
        .orderBy('cell.stage')
        .orderBy('measurement.replicate')
        .execute()
      return rows.map(({ n, mean, m2, counts, ...row }) => ({
        ...withOwn(row),
        counts: Boolean(counts),
        cell: { n, mean, m2 },
      }))
    },

    async partsNamed(text, most) {
      const pattern = `%${text.toLowerCase().replace(/[\\%_]/g, '\\$&')}%`
      const { last } = await db
        .selectFrom('part')
        .select((eb) => eb.fn.max('id').as('last'))
        .executeTakeFirstOrThrow()
      const found: PartFound[] = []
      // The latest first: they are the ones that are asked about.
      for (let to = Number(last ?? 0); to > 0 && found.length < most; to -= PARTS_LOOKED_AT) {
        const rows = await db
          .selectFrom('part')
          .innerJoin('part_number', 'part_number.id', 'part.part_number_id')
          .innerJoin('build', 'build.id', 'part.build_id')
          .where('part.id', '<=', to)
          .where('part.id', '>', to - PARTS_LOOKED_AT)
          .where(sql<boolean>`lower(part.serial) like ${pattern} escape '\\'`)
          .limit(most - found.length)
          .select(['part.serial', 'part_number.number', 'part_number.revision', 'build.name as build'])
          .execute()
        found.push(...rows)
        // Others are answered in between.
        await setImmediate()
      }
      return found.sort((a, b) => naturalOrder(a.serial, b.serial))
    },
  }
}

function placeOf(row: Selectable<PartTable>): Omit<PartOnRecord, 'build' | 'load'> {
  return {
    id: row.id,
    serial: row.serial,
    bed: { x: row.bed_x, y: row.bed_y, z: row.bed_z },
    tray: row.tray,
    trayPlace: row.tray_place,
  }
}
