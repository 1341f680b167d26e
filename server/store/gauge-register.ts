import type { Kysely } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { WrittenUnit } from '../../src/domain/characteristic.ts'
import type { Signed } from './decision-reads.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { Identities } from './engine.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** A certificate of calibration. */
export interface GaugeCertificate {
  /** Its number; empty where none is known. */
  readonly number: string
  /** Expanded uncertainty, in the gauge's unit. */
  readonly expanded: number
  readonly coverageFactor: number
  /** Day of calibration, as YYYY-MM-DD. */
  readonly date: string
}

/** What is kept of a gauge beside its name, and who said it, when and why. */
export interface GaugeEntryContent {
  /** In the shop's words, such as "caliper". */
  readonly kind: string
  /** Of resolution and certificate. */
  readonly unit: WrittenUnit
  /** Smallest difference that it shows; null where not known. */
  readonly resolution: number | null
  readonly certificate: GaugeCertificate | null
  /** Day by which it has to be calibrated again, as YYYY-MM-DD; null where none is set. */
  readonly due: string | null
  /** Characteristics that it measures. */
  readonly characteristicIds: readonly number[]
  /** False for one that is laid by. */
  readonly inUse: boolean
}

/** What is on record of a gauge: one version. */
export interface GaugeEntry extends Signed, GaugeEntryContent {
  /** From 1 upwards. */
  readonly version: number
  readonly reason: string
}

/** A gauge that a file named or the register holds, with everything said of it, oldest first. */
export interface RegisteredGauge {
  readonly id: number
  readonly name: string
  readonly entries: readonly GaugeEntry[]
}

export interface GaugeRegisterReads {
  /** All gauges that anything on record names, in order of their identities. */
  gauges(): Promise<RegisteredGauge[]>
  /** Names of the gauges that measured a characteristic in these builds, by identity of the build. */
  gaugesOfBuilds(
    characteristicId: number,
    stage: Stage,
    buildIds: readonly number[],
  ): Promise<ReadonlyMap<number, readonly string[]>>
}

export interface GaugeRegisterWrites {
  /**
   * Say something of a gauge, which is new where no other has its name.
   *
   * @returns the gauge's identity
   * @throws StaleDecisionError where the version is not the one after the latest
   */
  addGaugeEntry(name: string, entry: GaugeEntry): Promise<number>
  /** As `GaugeRegisterReads.gauges`, inside the transaction. */
  gaugesOnRecord(): Promise<RegisteredGauge[]>
}

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

export function gaugeRegisterReads(db: Kysely<Schema>): GaugeRegisterReads {
  return {
    gauges: () => register(db),

    async gaugesOfBuilds(characteristicId, stage, buildIds) {
      const gauges = new Map<number, string[]>()
      for (let i = 0; i < buildIds.length; i += AT_ONCE) {
        const rows = await db
          .selectFrom('cell')
          .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
          .innerJoin('gauge', 'gauge.id', 'measurement.gauge_id')
          .where('cell.characteristic_id', '=', characteristicId)
          .where('cell.stage', '=', stage)
          .where('cell.build_id', 'in', buildIds.slice(i, i + AT_ONCE))
          .select(['cell.build_id', 'gauge.name'])
          .distinct()
          .orderBy('gauge.name')
          .execute()
        for (const { build_id, name } of rows) gauges.set(build_id, [...(gauges.get(build_id) ?? []), name])
      }
      return gauges
    },
  }
}

async function register(db: Kysely<Schema>): Promise<RegisteredGauge[]> {
  const gauges = await db.selectFrom('gauge').selectAll().orderBy('id').execute()
  const rows = await db.selectFrom('gauge_entry').selectAll().orderBy('gauge_id').orderBy('version').execute()
  return gauges.map(({ id, name }) => ({
    id,
    name,
    entries: rows
      .filter((row) => row.gauge_id === id)
      .map(({ version, content, reason, who, at }) => ({
        ...(JSON.parse(content) as GaugeEntryContent),
        version,
        reason,
        who,
        at: Number(at),
      })),
  }))
}
/** @param reserve identities for rows to come */
export function gaugeRegisterWrites(
  db: Kysely<Schema>,
  reserve: (rows: number) => Promise<Identities>,
  record: Recorder,
): GaugeRegisterWrites {
  return {
    gaugesOnRecord: () => register(db),

    async addGaugeEntry(name, { version, reason, who, at, ...content }) {
      const known = await db.selectFrom('gauge').select('id').where('name', '=', name).executeTakeFirst()
      const gaugeId = known?.id ?? (await reserve(1)).next.gauge
      if (known === undefined) await db.insertInto('gauge').values({ id: gaugeId, name }).execute()
      const row = await db
        .selectFrom('gauge_entry')
        .where('gauge_id', '=', gaugeId)
        .select((eb) => eb.fn.max('version').as('latest'))
        .executeTakeFirst()
      const latest = Number(row?.latest ?? 0)
      if (latest + 1 !== version) throw new StaleDecisionError(`the latest is ${latest}`)
      await db
        .insertInto('gauge_entry')
        .values({ gauge_id: gaugeId, version, content: JSON.stringify(content), reason, who, at })
        .execute()
      await record.append({
        kind: 'gauge-entry',
        at,
        who,
        about: [
          { kind: 'gauge', id: gaugeId },
          ...content.characteristicIds.map((id) => ({ kind: 'characteristic' as const, id })),
        ],
        details: { version, due: content.due, inUse: content.inUse },
        words: { reason },
        row: { table: 'gauge_entry', key: { gauge_id: gaugeId, version } },
      })
      return gaugeId
    },
  }
}
