import { type Kysely, sql } from 'kysely'
import type { FurnaceLoad } from '../../src/domain/build.ts'
import { type Cell, STAGES, type Stage } from '../../src/domain/cell.ts'
import { cellsOfColumns } from '../../src/domain/cell-columns.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { ImportSummary, ImportVerdict, Receipt } from '../contract/receipt.ts'
import type { PartNumber, PartNumberSummary, TimelineBuild, TracedValue } from '../contract/views.ts'
import { type CellsByCharacteristic, CellsOfPartNumbers, cellRecords } from './cells-of-part-number.ts'
import { judgedCharacteristic } from './characteristic-rows.ts'
import { type CustomerRequirementsReads, customerRequirementsReads } from './customer-requirements.ts'
import { type DecisionReads, decisionReads } from './decision-reads.ts'
import { type DistributionReads, distributionReads } from './distribution-reads.ts'
import type { Engine } from './engine.ts'
import { type GaugeRegisterReads, gaugeRegisterReads } from './gauge-register.ts'
import { type GaugeStudyReads, gaugeStudyReads } from './gauge-studies.ts'
import { type GuestLinkReads, guestLinkReads } from './guest-links.ts'
import { type LayoutReads, layoutReads } from './layouts.ts'
import { naturalOrder } from './natural-order.ts'
import { type OwnLimitReads, ownLimitReads } from './own-limits.ts'
import { type PartReads, partReads } from './part-reads.ts'
import { type PeopleReads, peopleReads } from './people.ts'
import { type RecordReads, recordReads } from './record/record-reads.ts'
import { type ReportReads, reportReads } from './reports.ts'
import type { Schema } from './schema.ts'
import { type SessionReads, sessionReads } from './sessions.ts'
import { type SingleValueReads, singleValueReads } from './single-values.ts'
import { type Dated, inOrderOfPrinting, loadOf, timelineBuilds } from './timeline-builds.ts'
import { type TokenReads, tokenReads } from './tokens.ts'
import { tracedMeasurements, withOwn } from './traced-measurements.ts'
import { HASH_LENGTH } from './withdrawals.ts'

/** Everything that views read. */
export interface Reads
  extends TokenReads,
    LayoutReads,
    DecisionReads,
    DistributionReads,
    ReportReads,
    RecordReads,
    SingleValueReads,
    GaugeRegisterReads,
    GaugeStudyReads,
    PartReads,
    PeopleReads,
    SessionReads,
    GuestLinkReads,
    OwnLimitReads,
    CustomerRequirementsReads {
  /** All part numbers in natural order. */
  partNumbers(): Promise<PartNumberSummary[]>
  partNumber(number: string, revision: string): Promise<PartNumber | null>
  /** Characteristics of a part number in natural order of their designators: 1, 2, 10. */
  characteristics(partNumberId: number): Promise<Characteristic[]>
  /**
   * Builds with measured parts of the part number at this stage, in the order they were printed; equal times
   * in natural order of their names, builds without a time last.
   */
  builds(partNumberId: number, stage: Stage): Promise<readonly TimelineBuild[]>
  /** Number of parts measured at this stage, by identity of their build. */
  partsByBuild(partNumberId: number, stage: Stage): Promise<ReadonlyMap<number, number>>
  /** Furnace loads that took measured parts of the part number at this stage. */
  loadsOf(partNumberId: number, stage: Stage): Promise<FurnaceLoad[]>
  /** Cells that hold a value which is not left out. */
  cells(partNumberId: number, stage: Stage): Promise<readonly Cell[]>
  /** The same as columns, which after a commit are read anew for the builds that it touched only. */
  cellsByCharacteristic(partNumberId: number, stage: Stage): Promise<CellsByCharacteristic>
  /** @param partNumberId that of the characteristic, where cells that are held of it may serve */
  cellsOf(characteristicId: number, stage: Stage, partNumberId?: number): Promise<Cell[]>
  /** Values of one characteristic in one build, by serial number in natural order, then replicate. */
  values(characteristicId: number, buildId: number, stage: Stage): Promise<TracedValue[]>
  /** How many imports ended in which way, and with how many rows. */
  importTotals(): Promise<
    {
      readonly verdict: ImportVerdict
      readonly imports: number
      readonly taken: number
      readonly refused: number
    }[]
  >
  /** Newest first. */
  imports(limit: number): Promise<ImportSummary[]>
  receipt(importId: number): Promise<Receipt | null>
  importByHash(sha256: string): Promise<ImportSummary | null>
}

export function reads(engine: Engine): Reads {
  const { db } = engine
  const held = new CellsOfPartNumbers(engine)
  return {
    ...tokenReads(db),
    ...partReads(db),
    ...peopleReads(db),
    ...sessionReads(db),
    ...guestLinkReads(db),
    ...layoutReads(db),
    ...decisionReads(db),
    ...reportReads(db),
    ...customerRequirementsReads(db),
    ...ownLimitReads(db),
    ...recordReads(engine),
    ...singleValueReads(engine),
    ...distributionReads(engine),
    ...gaugeRegisterReads(db),
    ...gaugeStudyReads(db),

    async partNumbers() {
      const partNumbers = await db
        .selectFrom('part_number')
        .select((eb) => [
          'id',
          'number',
          'revision',
          'name',
          eb
            .selectFrom('characteristic')
            .whereRef('characteristic.part_number_id', '=', 'part_number.id')
            .select((e) => e.fn.countAll<number>().as('count'))
            .as('characteristics'),
        ])
        .execute()
      const perCharacteristic = await db
        .selectFrom('cell')
        // With the sign the whole table is gone through once: by its index each row would be looked up apart.
        .groupBy(sql`+characteristic_id`)
        .select((eb) => [sql<number>`+characteristic_id`.as('id'), eb.fn.sum<number>('n').as('measurements')])
        .execute()
      const partNumberOf = new Map(
        (await db.selectFrom('characteristic').select(['id', 'part_number_id']).execute()).map((row) => [
          row.id,
          row.part_number_id,
        ]),
      )
      const measurements = new Map<number, number>()
      for (const row of perCharacteristic) {
        const id = partNumberOf.get(row.id) as number
        measurements.set(id, (measurements.get(id) ?? 0) + Number(row.measurements))
      }
      const stages = await db
        .selectFrom('measured_build')
        .select(['part_number_id as partNumberId', 'stage'])
        .where('parts', '>', 0)
        .distinct()
        .execute()
      const builds = new Map<number, { count: number; last: Dated }>()
      await engine.scan(
        ['part_number_id', 'name', 'printed_at'],
        `(select distinct measured_build.part_number_id, build.id, build.name, build.printed_at
          from measured_build join build on build.id = measured_build.build_id) as measured`,
        [],
        (partNumberId: number, name: string, printedAt: number | null) => {
          const build = { name, printedAt }
          const known = builds.get(partNumberId)
          if (known === undefined) builds.set(partNumberId, { count: 1, last: build })
          else {
            known.count++
            if (inOrderOfPrinting(known.last, build) < 0) known.last = build
          }
        },
      )
      return partNumbers
        .map((row) => {
          const own = builds.get(row.id)
          return {
            id: row.id,
            number: row.number,
            revision: row.revision,
            name: row.name,
            characteristics: Number(row.characteristics),
            builds: own?.count ?? 0,
            measurements: measurements.get(row.id) ?? 0,
            lastBuild: own?.last.name ?? null,
            stages: STAGES.filter((stage) =>
              stages.some((each) => each.partNumberId === row.id && each.stage === stage),
            ),
          }
        })
        .sort((a, b) => naturalOrder(a.number, b.number) || naturalOrder(a.revision, b.revision))
    },

    async partNumber(number, revision) {
      const row = await db
        .selectFrom('part_number')
        .selectAll()
        .where('number', '=', number)
        .where('revision', '=', revision)
        .executeTakeFirst()
      return row ?? null
    },

    async characteristics(partNumberId) {
      const rows = await db
        .selectFrom('characteristic')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .execute()
      return rows.map(judgedCharacteristic).sort((a, b) => naturalOrder(a.designator, b.designator))
    },

    builds: (partNumberId, stage) => timelineBuilds(engine, partNumberId, stage),

    async loadsOf(partNumberId, stage) {
      const rows = await db
        .selectFrom('furnace_load')
        .selectAll()
        .where('id', 'in', (eb) =>
          eb
            .selectFrom('build_load')
            .where('part_number_id', '=', partNumberId)
            .where('stage', '=', stage)
            .select('furnace_load_id'),
        )
        .execute()
      return rows.map(loadOf)
    },

    async partsByBuild(partNumberId, stage) {
      const rows = await db
        .selectFrom('measured_build')
        .select(['build_id', 'parts'])
        .where('part_number_id', '=', partNumberId)
        .where('stage', '=', stage)
        .execute()
      return new Map(rows.map((row) => [row.build_id, row.parts]))
    },

    cellsByCharacteristic: (partNumberId, stage) => held.read(partNumberId, stage),

    cells: async (partNumberId, stage) => cellRecords(await held.read(partNumberId, stage), stage),

    async cellsOf(characteristicId, stage, partNumberId) {
      const isHeld = partNumberId !== undefined && held.holds(partNumberId, stage)
      const cells = isHeld
        ? (await held.read(partNumberId, stage)).get(characteristicId)
        : await engine.cellsOf(characteristicId, stage)
      return cells === undefined ? [] : cellsOfColumns(cells, characteristicId, stage)
    },

    async values(characteristicId, buildId, stage) {
      const rows = await tracedMeasurements(db)
        .leftJoin('furnace_load', 'furnace_load.id', 'part.furnace_load_id')
        .where('cell.characteristic_id', '=', characteristicId)
        .where('cell.stage', '=', stage)
        .where('cell.build_id', '=', buildId)
        .select([
          'part.serial',
          'part.tray',
          'part.tray_place as trayPlace',
          'part.bed_x as x',
          'part.bed_y as y',
          'part.bed_z as z',
          'furnace_load.name as furnaceLoad',
        ])
        .execute()
      return rows
        .map(({ x, y, z, ...row }) => ({ ...withOwn(row), bed: { x, y, z } }))
        .sort((a, b) => naturalOrder(a.serial, b.serial) || a.replicate - b.replicate)
    },

    async imports(limit) {
      return (await importSummaries(db).orderBy('import.id', 'desc').limit(limit).execute()).map(summaryOf)
    },

    async importTotals() {
      const rows = await db
        .selectFrom('import')
        .select((eb) => [
          'verdict',
          eb.fn.countAll().as('imports'),
          eb.fn.sum('rows_taken').as('taken'),
          eb.fn.sum('rows_refused').as('refused'),
        ])
        .groupBy('verdict')
        .execute()
      return rows.map(({ verdict, imports, taken, refused }) => ({
        verdict,
        imports: Number(imports),
        taken: Number(taken),
        refused: Number(refused),
      }))
    },

    async receipt(importId) {
      const row = await db
        .selectFrom('import')
        .select('receipt')
        .where('id', '=', importId)
        .executeTakeFirst()
      return row === undefined ? null : (JSON.parse(row.receipt) as Receipt)
    },

    async importByHash(sha256) {
      const row = await importSummaries(db).where('import.sha256', '=', sha256).executeTakeFirst()
      return row === undefined ? null : summaryOf(row)
    },
  }
}

function importSummaries(db: Kysely<Schema>) {
  return db
    .selectFrom('import')
    .leftJoin('withdrawal', 'withdrawal.import_id', 'import.id')
    .select([
      'import.id as importId',
      'file_name as fileName',
      // A withdrawn import has its number behind the hash, so that the bytes may come again.
      sql<string>`substr(import.sha256, 1, ${sql.lit(HASH_LENGTH)})`.as('sha256'),
      'bytes',
      'kind',
      'verdict',
      'import.who as who',
      'import.at as at',
      'rows_read as rowsRead',
      'rows_taken as rowsTaken',
      'rows_refused as rowsRefused',
      'out_of_specification as outOfSpecification',
      'withdrawal.who as withdrawnBy',
      'withdrawal.reason as withdrawnFor',
      'withdrawal.at as withdrawnAt',
    ])
}

function summaryOf<
  T extends { withdrawnBy: string | null; withdrawnFor: string | null; withdrawnAt: number | null },
>({ withdrawnBy, withdrawnFor, withdrawnAt, ...row }: T) {
  const withdrawn =
    withdrawnBy === null
      ? null
      : { who: withdrawnBy, reason: withdrawnFor as string, at: Number(withdrawnAt) }
  return { ...row, withdrawn }
}
