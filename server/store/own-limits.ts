import { type Kysely, sql } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { MeasuredAgainstOwn } from '../contract/views.ts'
import type { Schema } from './schema.ts'

/** How wide limits of parts' own were, in the unit of their characteristic. */
export interface OwnLimitsWithin {
  /** Measurements that came with such limits, whether they count or not. */
  readonly values: number
  /** The narrowest and the widest: the one limit, or the way from the lower to the upper one. */
  readonly least: number
  readonly greatest: number
}

export interface OwnLimitReads {
  /**
   * @param builds identities of the builds wanted; null for all
   * @returns null where no measurement came with limits of its own
   */
  ownLimitsWithin(
    characteristicId: number,
    stage: Stage,
    builds: ReadonlySet<number> | null,
  ): Promise<OwnLimitsWithin | null>
  /**
   * What measurements of the characteristic in these builds were judged by, by identity of the part, whether they count
   * or not; empty where the limits of the drawing hold.
   */
  ownLimitsByPart(
    characteristicId: number,
    stage: Stage,
    builds: ReadonlySet<number>,
  ): Promise<ReadonlyMap<number, readonly MeasuredAgainstOwn[]>>
}

const WIDTH = sql<number>`case when own_limits.lower is null then own_limits.upper
  when own_limits.upper is null then own_limits.lower else own_limits.upper - own_limits.lower end`

export function ownLimitReads(db: Kysely<Schema>): OwnLimitReads {
  return {
    async ownLimitsWithin(characteristicId, stage, builds) {
      const rows = await db
        .selectFrom('own_limits')
        .innerJoin('part', 'part.id', 'own_limits.part_id')
        .where('own_limits.characteristic_id', '=', characteristicId)
        .where('own_limits.stage', '=', stage)
        .groupBy('part.build_id')
        .select((eb) => [
          'part.build_id as build',
          eb.fn.countAll<number>().as('values'),
          eb.fn.min<number>(WIDTH).as('least'),
          eb.fn.max<number>(WIDTH).as('greatest'),
        ])
        .execute()
      const wanted = builds === null ? rows : rows.filter(({ build }) => builds.has(build))
      if (wanted.length === 0) return null
      return {
        values: wanted.reduce((sum, { values }) => sum + Number(values), 0),
        least: Math.min(...wanted.map(({ least }) => least)),
        greatest: Math.max(...wanted.map(({ greatest }) => greatest)),
      }
    },

    async ownLimitsByPart(characteristicId, stage, builds) {
      const rows = await db
        .selectFrom('own_limits')
        .innerJoin('part', 'part.id', 'own_limits.part_id')
        .where('own_limits.characteristic_id', '=', characteristicId)
        .where('own_limits.stage', '=', stage)
        .select(['part.build_id', 'own_limits.part_id', 'measured', 'lower', 'upper'])
        .execute()
      const byPart = new Map<number, MeasuredAgainstOwn[]>()
      for (const { build_id, part_id, ...own } of rows) {
        if (!builds.has(build_id)) continue
        const known = byPart.get(part_id)
        if (known === undefined) byPart.set(part_id, [own])
        else known.push(own)
      }
      return byPart
    },
  }
}
