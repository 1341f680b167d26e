import type { Kysely } from 'kysely'
import type { ScaleFactors } from '../../src/domain/build.ts'
import type { Prediction } from '../../src/shrinkage/predict.ts'
import type { Signed } from './decision-reads.ts'
import { StaleDecisionError } from './decision-writes.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** What is kept of a decision beside who, when and why. */
export interface FactorDecisionContent {
  /** The factors that it changed, and those that it set. */
  readonly before: ScaleFactors
  readonly factors: ScaleFactors
  /** What was advised at that moment. */
  readonly advised: ScaleFactors
  /** What was expected, by which it is judged. */
  readonly predictions: readonly Prediction[]
}

/** Scale factors that somebody decided on. */
export interface FactorDecision extends Signed, FactorDecisionContent {
  /** From 1 upwards. */
  readonly id: number
  /** Name of the build that is printed with them first; it need not be on record yet. */
  readonly firstBuild: string
  /** Id of the last build that was measured when it was decided. */
  readonly afterBuildId: number
  readonly reason: string
  /** Who took it back before it was used, and why; null while it stands. */
  readonly takenBack: (Signed & { readonly reason: string }) | null
}

export function sameFactors(a: ScaleFactors, b: ScaleFactors): boolean {
  return a.x === b.x && a.y === b.y && a.z === b.z
}

/** The builds, from the first that the decision names on, that carry its factors. */
export function printedWith<T extends { readonly name: string; readonly scale: ScaleFactors }>(
  { firstBuild, factors }: Pick<FactorDecision, 'firstBuild' | 'factors'>,
  builds: readonly T[],
): T[] {
  const from = builds.findIndex(({ name }) => name === firstBuild)
  return from === -1 ? [] : builds.slice(from).filter(({ scale }) => sameFactors(scale, factors))
}

export interface FactorDecisionReads {
  /** In the order in which they were taken. */
  factorDecisions(partNumberId: number): Promise<FactorDecision[]>
}

export interface FactorDecisionWrites {
  /**
   * @param last number of the latest decision that was seen; null for none
   * @returns the new decision's number
   * @throws StaleDecisionError where there is a later one
   */
  addFactorDecision(
    partNumberId: number,
    decision: Omit<FactorDecision, 'id' | 'takenBack'>,
    last: number | null,
  ): Promise<number>
  /**
   * Whether it was used is for the caller to know.
   *
   * @throws StaleDecisionError where it is taken back already
   */
  takeFactorsBack(partNumberId: number, id: number, why: Signed & { readonly reason: string }): Promise<void>
}

export function factorDecisionReads(db: Kysely<Schema>): FactorDecisionReads {
  return {
    async factorDecisions(partNumberId) {
      const rows = await db
        .selectFrom('factor_decision')
        .leftJoin('factor_decision_taken_back as back', 'back.decision_id', 'factor_decision.id')
        .selectAll('factor_decision')
        .select(['back.reason as backReason', 'back.who as backWho', 'back.at as backAt'])
        .where('part_number_id', '=', partNumberId)
        .orderBy('id')
        .execute()
      return rows.map((row) => ({
        ...(JSON.parse(row.content) as FactorDecisionContent),
        id: row.id,
        firstBuild: row.first_build,
        afterBuildId: row.after_build_id,
        reason: row.reason,
        who: row.who,
        at: Number(row.at),
        takenBack:
          row.backWho === null
            ? null
            : { reason: row.backReason ?? '', who: row.backWho, at: Number(row.backAt) },
      }))
    },
  }
}

export function factorDecisionWrites(db: Kysely<Schema>, record: Recorder): FactorDecisionWrites {
  return {
    async addFactorDecision(partNumberId, decision, last) {
      const own = await db
        .selectFrom('factor_decision')
        .where('part_number_id', '=', partNumberId)
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const latest = own?.id === null || own?.id === undefined ? null : Number(own.id)
      if (latest !== last) throw new StaleDecisionError(`the latest is ${latest}`)
      const all = await db
        .selectFrom('factor_decision')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(all?.id ?? 0) + 1
      const { firstBuild, afterBuildId, reason, who, at, ...content } = decision
      await db
        .insertInto('factor_decision')
        .values({
          id,
          part_number_id: partNumberId,
          first_build: firstBuild,
          after_build_id: afterBuildId,
          content: JSON.stringify(content),
          reason,
          who,
          at,
        })
        .execute()
      await record.append({
        kind: 'factor-decision',
        at,
        who,
        about: [
          { kind: 'factor-decision', id },
          { kind: 'part-number', id: partNumberId },
          { kind: 'build', id: afterBuildId },
        ],
        details: { firstBuild, before: content.before, factors: content.factors },
        words: { reason },
        row: { table: 'factor_decision', key: { id } },
      })
      return id
    },

    async takeFactorsBack(partNumberId, id, { reason, who, at }) {
      const done = await db
        .selectFrom('factor_decision_taken_back')
        .select('decision_id')
        .where('decision_id', '=', id)
        .executeTakeFirst()
      if (done !== undefined) throw new StaleDecisionError(`decision ${id} is taken back`)
      await db.insertInto('factor_decision_taken_back').values({ decision_id: id, reason, who, at }).execute()
      await record.append({
        kind: 'factor-decision-taken-back',
        at,
        who,
        about: [
          { kind: 'factor-decision', id },
          { kind: 'part-number', id: partNumberId },
        ],
        words: { reason },
        row: { table: 'factor_decision_taken_back', key: { decision_id: id } },
      })
    },
  }
}
