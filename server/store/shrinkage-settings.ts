import type { Kysely } from 'kysely'
import { type AdjustmentSettings, DEFAULT_ADJUSTMENT } from '../../src/shrinkage/adjustment.ts'
import type { Along, Sense } from '../../src/shrinkage/terms.ts'
import type { Signed } from './decision-reads.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** What is told of one characteristic; null leaves it to what is taken by default. */
export interface ToldCharacteristic {
  readonly characteristicId: number
  readonly along: Along | null
  readonly sense: Sense | null
  readonly counts: boolean
}

/** How the shrinkage of a part number is fitted and advised. */
export interface ShrinkageSettings {
  readonly adjustment: AdjustmentSettings
  /** Characteristics that nothing is told of are left out. */
  readonly told: readonly ToldCharacteristic[]
}

export const DEFAULT_SETTINGS: ShrinkageSettings = { adjustment: DEFAULT_ADJUSTMENT, told: [] }

export interface ShrinkageSettingsVersion extends Signed, ShrinkageSettings {
  /** From 1 upwards. */
  readonly version: number
  readonly reason: string
}

export interface ShrinkageSettingsReads {
  /** Oldest first. */
  shrinkageSettings(partNumberId: number): Promise<ShrinkageSettingsVersion[]>
}

export interface ShrinkageSettingsWrites {
  /** @throws StaleDecisionError where the version does not follow the latest */
  addShrinkageSettings(partNumberId: number, settings: ShrinkageSettingsVersion): Promise<void>
}

export function shrinkageSettingsReads(db: Kysely<Schema>): ShrinkageSettingsReads {
  return {
    async shrinkageSettings(partNumberId) {
      const rows = await db
        .selectFrom('shrinkage_settings')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .orderBy('version')
        .execute()
      return rows.map(({ content, version, reason, who, at }) => ({
        ...(JSON.parse(content) as ShrinkageSettings),
        version,
        reason,
        who,
        at: Number(at),
      }))
    },
  }
}

export function shrinkageSettingsWrites(db: Kysely<Schema>, record: Recorder): ShrinkageSettingsWrites {
  return {
    async addShrinkageSettings(partNumberId, { version, reason, who, at, adjustment, told }) {
      const row = await db
        .selectFrom('shrinkage_settings')
        .where('part_number_id', '=', partNumberId)
        .select((eb) => eb.fn.max('version').as('latest'))
        .executeTakeFirst()
      const latest = Number(row?.latest ?? 0)
      if (latest + 1 !== version) throw new StaleDecisionError(`the latest is ${latest}`)
      const content = JSON.stringify({ adjustment, told } satisfies ShrinkageSettings)
      await db
        .insertInto('shrinkage_settings')
        .values({ part_number_id: partNumberId, version, content, reason, who, at })
        .execute()
      await record.append({
        kind: 'shrinkage-settings',
        at,
        who,
        about: [
          { kind: 'part-number', id: partNumberId },
          ...told.map(({ characteristicId: id }) => ({ kind: 'characteristic' as const, id })),
        ],
        details: { version, adjustment, told },
        words: { reason },
        row: { table: 'shrinkage_settings', key: { part_number_id: partNumberId, version } },
      })
    },
  }
}
