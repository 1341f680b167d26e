import type { Kysely } from 'kysely'
import type { CustomerRequirements } from '../../src/capability/requirement.ts'
import type { Signed } from './decision-reads.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

export interface CustomerRequirementsTable {
  part_number_id: number
  /** From 1 upwards. */
  version: number
  /** As JSON. */
  content: string
  reason: string
  who: string
  at: number
}

export interface CustomerRequirementsVersion extends Signed, CustomerRequirements {
  /** From 1 upwards. */
  readonly version: number
  readonly reason: string
}

export interface CustomerRequirementsReads {
  /** Oldest first; none while the default holds. */
  customerRequirements(partNumberId: number): Promise<CustomerRequirementsVersion[]>
}

export interface CustomerRequirementsWrites {
  /** @throws StaleDecisionError where the version does not follow the latest */
  addCustomerRequirements(partNumberId: number, requirements: CustomerRequirementsVersion): Promise<void>
}

export function customerRequirementsReads(db: Kysely<Schema>): CustomerRequirementsReads {
  return {
    async customerRequirements(partNumberId) {
      const rows = await db
        .selectFrom('customer_requirements')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .orderBy('version')
        .execute()
      return rows.map(({ content, version, reason, who, at }) => ({
        ...(JSON.parse(content) as CustomerRequirements),
        version,
        reason,
        who,
        at: Number(at),
      }))
    },
  }
}

export function customerRequirementsWrites(db: Kysely<Schema>, record: Recorder): CustomerRequirementsWrites {
  return {
    async addCustomerRequirements(partNumberId, { version, reason, who, at, fallback, classes, assigned }) {
      const row = await db
        .selectFrom('customer_requirements')
        .where('part_number_id', '=', partNumberId)
        .select((eb) => eb.fn.max('version').as('latest'))
        .executeTakeFirst()
      const latest = Number(row?.latest ?? 0)
      if (latest + 1 !== version) throw new StaleDecisionError(`the latest is ${latest}`)
      const content = JSON.stringify({ fallback, classes, assigned } satisfies CustomerRequirements)
      await db
        .insertInto('customer_requirements')
        .values({ part_number_id: partNumberId, version, content, reason, who, at })
        .execute()
      await record.append({
        kind: 'customer-requirements',
        at,
        who,
        about: [
          { kind: 'part-number', id: partNumberId },
          ...assigned.map(({ characteristicId: id }) => ({ kind: 'characteristic' as const, id })),
        ],
        details: { version, fallback, classes, assigned },
        words: { reason },
        row: { table: 'customer_requirements', key: { part_number_id: partNumberId, version } },
      })
    },
  }
}
