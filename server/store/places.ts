import { type Kysely, sql } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import { COUNTS } from './included-values.ts'
import type { Schema } from './schema.ts'

/** Which values are asked for. */
export interface PlacesWanted {
  readonly characteristicId: number
  readonly stage: Stage
  readonly buildIds: readonly number[]
}

/** Parts of one cell that share tray or gauge, as deviations from the mean of the cell, in the unit of the values. */
export interface PartSum {
  readonly cellId: number
  readonly buildId: number
  readonly mean: number
  readonly furnace: string | null
  readonly name: string | null
  readonly n: number
  readonly sum: number
  readonly squares: number
}

export interface PlacedValue {
  readonly serial: string
  readonly buildId: number
  readonly x: number
  readonly y: number
  readonly z: number
  /** From the mean of the cell. */
  readonly deviation: number
}

export interface PlaceSum {
  readonly n: number
  readonly sum: number
}

export interface BedSum extends PlaceSum {
  /** Number of the box along each direction, counted from the corner that was given. */
  readonly i: number
  readonly j: number
  readonly k: number
}

export interface TraySum extends PlaceSum {
  readonly furnace: string | null
  readonly tray: string
  readonly place: string | null
}

export interface BedExtent {
  readonly parts: number
  readonly low: readonly [number, number, number]
  readonly high: readonly [number, number, number]
}

/**
 * Where parts lay and stood, and how far they lay from the mean of their cell. Summed up in the database, so that the
 * answer grows with the number of places and not of measurements; repeated measurements of a part count once, single
 * values that are left out not at all.
 */
export interface PlaceReads {
  sumsByTray(wanted: PlacesWanted): Promise<PartSum[]>
  sumsByGauge(wanted: PlacesWanted): Promise<PartSum[]>
  trayPlaces(wanted: PlacesWanted): Promise<TraySum[]>
  /** Null where no part has all three coordinates. */
  bedExtent(wanted: PlacesWanted): Promise<BedExtent | null>
  placedValues(wanted: PlacesWanted): Promise<PlacedValue[]>
  bedSums(
    wanted: PlacesWanted,
    corner: readonly [number, number, number],
    step: readonly [number, number, number],
  ): Promise<BedSum[]>
}

export function placeReads(db: Kysely<Schema>): PlaceReads {
  return {
    async sumsByTray(wanted) {
      const rows = await partMeans(db, wanted)
        .groupBy(['m.cellId', 'm.buildId', 'm.mean', 'furnace_load.furnace', 'part.tray'])
        .select([
          'm.cellId',
          'm.buildId',
          'm.mean',
          'furnace_load.furnace',
          'part.tray as name',
          count,
          sum,
          squares,
        ])
        .execute()
      return rows.map((row) => ({ ...row, n: Number(row.n) }))
    },

    async sumsByGauge(wanted) {
      const rows = await partMeans(db, wanted)
        .leftJoin('gauge', 'gauge.id', 'm.gaugeId')
        .groupBy(['m.cellId', 'm.buildId', 'm.mean', 'furnace_load.furnace', 'gauge.name'])
        .select([
          'm.cellId',
          'm.buildId',
          'm.mean',
          'furnace_load.furnace',
          'gauge.name as name',
          count,
          sum,
          squares,
        ])
        .execute()
      return rows.map((row) => ({ ...row, n: Number(row.n) }))
    },

    async trayPlaces(wanted) {
      const rows = await partMeans(db, wanted)
        .where('part.tray', 'is not', null)
        .groupBy(['furnace_load.furnace', 'part.tray', 'part.tray_place'])
        .select(['furnace_load.furnace', 'part.tray', 'part.tray_place as place', count, sum])
        .execute()
      return rows.map((row) => ({ ...row, tray: row.tray as string, n: Number(row.n) }))
    },

    async bedExtent(wanted) {
      const row = await inBed(partMeans(db, wanted))
        .select((eb) => [
          count,
          eb.fn.min('part.bed_x').as('x0'),
          eb.fn.max('part.bed_x').as('x1'),
          eb.fn.min('part.bed_y').as('y0'),
          eb.fn.max('part.bed_y').as('y1'),
          eb.fn.min('part.bed_z').as('z0'),
          eb.fn.max('part.bed_z').as('z1'),
        ])
        .executeTakeFirst()
      if (row === undefined || Number(row.n) === 0) return null
      return {
        parts: Number(row.n),
        low: [Number(row.x0), Number(row.y0), Number(row.z0)],
        high: [Number(row.x1), Number(row.y1), Number(row.z1)],
      }
    },

    async placedValues(wanted) {
      const rows = await inBed(partMeans(db, wanted))
        .select(['part.serial', 'm.buildId', 'part.bed_x', 'part.bed_y', 'part.bed_z', 'm.deviation'])
        .orderBy('part.id')
        .execute()
      return rows.map(({ serial, buildId, bed_x, bed_y, bed_z, deviation }) => ({
        serial,
        buildId,
        x: bed_x as number,
        y: bed_y as number,
        z: bed_z as number,
        deviation,
      }))
    },

    async bedSums(wanted, corner, step) {
      const box = (column: 'bed_x' | 'bed_y' | 'bed_z', at: 0 | 1 | 2) =>
        sql<number>`floor((${sql.ref(`part.${column}`)} - ${sql.lit(corner[at])}) / ${sql.lit(step[at])})`
      const boxed = inBed(partMeans(db, wanted)).select([
        box('bed_x', 0).as('i'),
        box('bed_y', 1).as('j'),
        box('bed_z', 2).as('k'),
        'm.deviation',
      ])
      const rows = await db
        .selectFrom(boxed.as('m'))
        .groupBy(['m.i', 'm.j', 'm.k'])
        .select(['m.i', 'm.j', 'm.k', count, sum])
        .execute()
      return rows.map((row) => ({
        i: Number(row.i),
        j: Number(row.j),
        k: Number(row.k),
        n: Number(row.n),
        sum: row.sum,
      }))
    },
  }
}

const count = sql<number>`count(*)`.as('n')
const sum = sql<number>`sum(m.deviation)`.as('sum')
const squares = sql<number>`sum(m.deviation * m.deviation)`.as('squares')

/** One row a part and gauge: the mean of those of its measurements that count, as deviation from the mean of its cell. */
function partMeans(db: Kysely<Schema>, { characteristicId, stage, buildIds }: PlacesWanted) {
  const measured = db
    .selectFrom('cell')
    .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
    .innerJoin('part', 'part.id', 'measurement.part_id')
    .where('cell.characteristic_id', '=', characteristicId)
    .where('cell.stage', '=', stage)
    .where('cell.build_id', 'in', buildIds)
    .where(COUNTS)
    .groupBy([
      'cell.id',
      'cell.build_id',
      'cell.furnace_load_id',
      'cell.mean',
      'measurement.part_id',
      'measurement.gauge_id',
    ])
    .select([
      'cell.id as cellId',
      'cell.build_id as buildId',
      'cell.furnace_load_id as loadId',
      'cell.mean as mean',
      'measurement.part_id as partId',
      'measurement.gauge_id as gaugeId',
      sql<number>`avg(measurement.value - cell.mean)`.as('deviation'),
    ])
  return db
    .selectFrom(measured.as('m'))
    .innerJoin('part', 'part.id', 'm.partId')
    .leftJoin('furnace_load', 'furnace_load.id', 'm.loadId')
}

function inBed<Q extends ReturnType<typeof partMeans>>(query: Q): Q {
  return query
    .where('part.bed_x', 'is not', null)
    .where('part.bed_y', 'is not', null)
    .where('part.bed_z', 'is not', null) as Q
}
