import type { Kysely } from 'kysely'
import type { StatedCharacteristic } from '../../src/domain/characteristic.ts'
import type { PartNumber } from '../contract/views.ts'
import { statedCharacteristic } from './characteristic-rows.ts'
import type { Signed } from './decision-reads.ts'
import type { GaugePlanTable, GaugeReadingTable, GaugeStudyTable } from './gauge-tables.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** What is kept of a plan beside the characteristic, the gauge, who and when. */
export interface GaugePlanContent {
  readonly parts: readonly string[]
  /** A single name for a machine. */
  readonly inspectors: readonly string[]
  readonly trials: number
  /** The order in which to measure follows from it. */
  readonly seed: number
}

export interface GaugePlan extends Signed, GaugePlanContent {
  /** From 1 upwards. */
  readonly id: number
  readonly characteristicId: number | null
  readonly gaugeId: number | null
}

/** A study on record, as its file brought it. */
export interface GaugeStudyRecord extends Signed {
  readonly id: number
  readonly importId: number
  readonly fileName: string
  readonly planId: number | null
  readonly characteristicId: number | null
}

export interface GaugeReadingRecord {
  readonly studyId: number
  readonly line: number
  readonly part: string
  readonly inspector: string
  readonly trial: number | null
  readonly value: number
  readonly gaugeId: number | null
  readonly reference: number | null
  /** Seconds since 1970-01-01 UTC. */
  readonly measuredAt: number | null
}

export interface GaugeStudyReads {
  /** Studies that were not withdrawn, in the order in which they came. */
  gaugeStudies(): Promise<GaugeStudyRecord[]>
  /** Their readings, study by study in the order of the file. */
  gaugeReadings(studyIds: readonly number[]): Promise<GaugeReadingRecord[]>
  /** In the order in which they were made. */
  gaugePlans(): Promise<GaugePlan[]>
  /** All characteristics on record, each with its drawing. */
  characteristicsOnDrawings(): Promise<CharacteristicOnDrawing[]>
}

/** A characteristic with the drawing that it stands on. */
export interface CharacteristicOnDrawing {
  readonly characteristic: StatedCharacteristic
  readonly partNumber: PartNumber
}

export interface GaugeStudyWrites {
  /** @returns the plan's number */
  addGaugePlan(plan: Omit<GaugePlan, 'id'>): Promise<number>
  plansOnRecord(): Promise<GaugePlan[]>
  /** @returns the first free number of a study */
  nextGaugeStudy(): Promise<number>
  addGaugeStudies(studies: readonly GaugeStudyTable[], readings: readonly GaugeReadingTable[]): Promise<void>
}

/** Rows to one statement: at 10 columns, its parameters stay below the least limit of the dialects, 32 766. */
const AT_ONCE = 1000

export function gaugeStudyReads(db: Kysely<Schema>): GaugeStudyReads {
  return {
    async gaugeStudies() {
      const rows = await db
        .selectFrom('gauge_study')
        .innerJoin('import', 'import.id', 'gauge_study.import_id')
        .leftJoin('withdrawal', 'withdrawal.import_id', 'import.id')
        .where('withdrawal.import_id', 'is', null)
        .select([
          'gauge_study.id',
          'gauge_study.import_id as importId',
          'gauge_study.plan_id as planId',
          'gauge_study.characteristic_id as characteristicId',
          'import.file_name as fileName',
          'import.who',
          'import.at',
        ])
        .orderBy('import.at')
        .orderBy('gauge_study.id')
        .execute()
      return rows.map((row) => ({ ...row, at: Number(row.at) }))
    },

    async gaugeReadings(studyIds) {
      const readings: GaugeReadingRecord[] = []
      for (let i = 0; i < studyIds.length; i += AT_ONCE) {
        const rows = await db
          .selectFrom('gauge_reading')
          .selectAll()
          .where('study_id', 'in', studyIds.slice(i, i + AT_ONCE))
          .orderBy('study_id')
          .orderBy('number')
          .execute()
        for (const row of rows) readings.push(readingOf(row))
      }
      return readings
    },

    gaugePlans: () => plans(db),

    async characteristicsOnDrawings() {
      const drawings = await db.selectFrom('part_number').selectAll().execute()
      const byId = new Map(drawings.map((row) => [row.id, row]))
      const rows = await db.selectFrom('characteristic').selectAll().orderBy('id').execute()
      return rows.map((row) => ({
        characteristic: statedCharacteristic(row),
        partNumber: byId.get(row.part_number_id) as PartNumber,
      }))
    },
  }
}

export function gaugeStudyWrites(db: Kysely<Schema>, record: Recorder): GaugeStudyWrites {
  return {
    async addGaugePlan({ characteristicId, gaugeId, who, at, ...content }) {
      const id = (await last(db, 'gauge_plan')) + 1
      await db
        .insertInto('gauge_plan')
        .values({
          id,
          characteristic_id: characteristicId,
          gauge_id: gaugeId,
          content: JSON.stringify(content),
          who,
          at,
        })
        .execute()
      await record.append({
        kind: 'gauge-plan',
        at,
        who,
        about: [
          ...(gaugeId === null ? [] : [{ kind: 'gauge' as const, id: gaugeId }]),
          ...(characteristicId === null ? [] : [{ kind: 'characteristic' as const, id: characteristicId }]),
        ],
        details: {
          plan: id,
          parts: content.parts.length,
          inspectors: content.inspectors.length,
          trials: content.trials,
          seed: content.seed,
        },
        row: { table: 'gauge_plan', key: { id } },
      })
      return id
    },

    plansOnRecord: () => plans(db),

    async nextGaugeStudy() {
      return (await last(db, 'gauge_study')) + 1
    },

    async addGaugeStudies(studies, readings) {
      for (let i = 0; i < studies.length; i += AT_ONCE) {
        await db
          .insertInto('gauge_study')
          .values(studies.slice(i, i + AT_ONCE))
          .execute()
      }
      for (let i = 0; i < readings.length; i += AT_ONCE) {
        await db
          .insertInto('gauge_reading')
          .values(readings.slice(i, i + AT_ONCE))
          .execute()
      }
    },
  }
}

async function plans(db: Kysely<Schema>): Promise<GaugePlan[]> {
  const rows = await db.selectFrom('gauge_plan').selectAll().orderBy('id').execute()
  return rows.map((row: GaugePlanTable) => ({
    ...(JSON.parse(row.content) as GaugePlanContent),
    id: row.id,
    characteristicId: row.characteristic_id,
    gaugeId: row.gauge_id,
    who: row.who,
    at: Number(row.at),
  }))
}

async function last(db: Kysely<Schema>, table: 'gauge_plan' | 'gauge_study'): Promise<number> {
  const row = await db
    .selectFrom(table)
    .select((eb) => eb.fn.max('id').as('last'))
    .executeTakeFirst()
  return Number(row?.last ?? 0)
}

function readingOf(row: GaugeReadingTable): GaugeReadingRecord {
  return {
    studyId: row.study_id,
    line: row.line,
    part: row.part,
    inspector: row.inspector,
    trial: row.trial,
    value: row.value,
    gaugeId: row.gauge_id,
    reference: row.reference,
    measuredAt: row.measured_at === null ? null : Number(row.measured_at),
  }
}
