import type { Kysely } from 'kysely'
import type { Stage } from '../../src/domain/cell.ts'
import type { FindingRevision, RemarkRevision, StudyVersion } from './decision-reads.ts'
import type { ExclusionTable } from './decision-tables.ts'
import type { Bulk } from './engine.ts'
import { recomputeCells, repeatChoiceOf } from './included-values.ts'
import type { Recorder } from './record/recorder.ts'
import type { Schema } from './schema.ts'

/** Something decided on the sight of what has changed since. Nothing was written. */
export class StaleDecisionError extends Error {
  override readonly name = 'StaleDecisionError'
}

/** What an exclusion is about: a subgroup, or one value of it. */
export interface ExclusionPlace {
  readonly characteristicId: number
  readonly stage: Stage
  readonly buildId: number
  readonly single: { readonly serial: string; readonly replicate: number } | null
}

/** Why, who and when. */
export interface Grounds {
  readonly reason: string
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

export interface DecisionWrites {
  /**
   * Where the version changes which of several measurements counts, the cells concerned are computed anew.
   *
   * @throws StaleDecisionError where `version` is not the one after the latest
   */
  addStudyVersion(stage: Stage, version: StudyVersion): Promise<void>
  /**
   * Leave something out, and compute the cell concerned anew.
   *
   * @returns the entry's identity; null where no such value is on record
   * @throws StaleDecisionError where it is left out already
   */
  leaveOut(place: ExclusionPlace, grounds: Grounds): Promise<number | null>
  /**
   * Take an exclusion back.
   *
   * @returns false where there is no such exclusion
   * @throws StaleDecisionError where it was taken back already
   */
  takeBack(exclusionId: number, grounds: Grounds): Promise<boolean>
  /** @returns the new finding's number */
  addFinding(partNumberId: number, finding: Omit<FindingRevision, 'id' | 'revision'>): Promise<number>
  /** @throws StaleDecisionError where its revision is not the one after the latest */
  reviseFinding(partNumberId: number, finding: FindingRevision): Promise<void>
  /** @returns the new remark's number */
  addRemark(partNumberId: number, remark: Omit<RemarkRevision, 'id' | 'revision'>): Promise<number>
  /** @throws StaleDecisionError where its revision is not the one after the latest */
  reviseRemark(partNumberId: number, remark: RemarkRevision): Promise<void>
}

export function decisionWrites(db: Kysely<Schema>, bulk: Bulk, record: Recorder): DecisionWrites {
  const insertFinding = async (partNumberId: number, finding: FindingRevision) => {
    const { id, revision, stage, characteristicIds, fromBuildId, toBuildId, state, verified } = finding
    await db
      .insertInto('finding')
      .values({
        id: finding.id,
        revision: finding.revision,
        part_number_id: partNumberId,
        stage: finding.stage,
        characteristics: JSON.stringify(finding.characteristicIds),
        from_build_id: finding.fromBuildId,
        to_build_id: finding.toBuildId,
        cause: finding.cause,
        action: finding.action,
        state: finding.state,
        verified: finding.verified,
        who: finding.who,
        at: finding.at,
      })
      .execute()
    await record.append({
      kind: 'finding',
      at: finding.at,
      who: finding.who,
      about: [
        { kind: 'finding', id },
        { kind: 'part-number', id: partNumberId },
        ...characteristicIds.map((characteristic) => ({
          kind: 'characteristic' as const,
          id: characteristic,
        })),
        ...[fromBuildId, toBuildId].map((build) => ({ kind: 'build' as const, id: build })),
      ],
      details: { revision, stage, state, verified },
      words: { cause: finding.cause, action: finding.action },
      row: { table: 'finding', key: { id, revision } },
    })
  }
  const insertRemark = async (partNumberId: number, remark: RemarkRevision) => {
    const { id, revision, buildId, text, who, at } = remark
    await db
      .insertInto('remark')
      .values({ id, revision, part_number_id: partNumberId, build_id: buildId, text, who, at })
      .execute()
    await record.append({
      kind: 'remark',
      at,
      who,
      about: [
        { kind: 'remark', id },
        { kind: 'part-number', id: partNumberId },
        { kind: 'build', id: buildId },
      ],
      details: { revision },
      words: { text },
      row: { table: 'remark', key: { id, revision } },
    })
  }
  const appendExclusion = async (
    kind: 'exclusion' | 'exclusion-taken-back',
    {
      id,
      characteristic_id,
      stage,
      build_id,
      serial,
      replicate,
      import_id,
      undoes,
      ...grounds
    }: ExclusionTable,
  ) =>
    await record.append({
      kind,
      at: grounds.at,
      who: grounds.who,
      about: [
        { kind: 'exclusion', id: undoes ?? id },
        { kind: 'characteristic', id: characteristic_id },
        { kind: 'build', id: build_id },
        ...(import_id === null ? [] : [{ kind: 'import' as const, id: import_id }]),
      ],
      details: { stage, what: serial === null ? 'build' : 'value' },
      words: { ...(serial === null ? {} : { serial, replicate }), reason: grounds.reason },
      row: { table: 'exclusion', key: { id } },
    })

  return {
    async addStudyVersion(stage, { characteristicId, version, study, change, reason, who, at }) {
      const row = await db
        .selectFrom('study_version')
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .select((eb) => eb.fn.max('version').as('latest'))
        .executeTakeFirst()
      requireNext(row?.latest, version)
      const countedBefore = await repeatChoiceOf(db, characteristicId, stage)
      await db
        .insertInto('study_version')
        .values({
          characteristic_id: characteristicId,
          stage,
          version,
          study: JSON.stringify(study),
          change: JSON.stringify(change),
          reason,
          who,
          at,
        })
        .execute()
      await record.append({
        kind: 'study',
        at,
        who,
        about: [{ kind: 'characteristic', id: characteristicId }],
        details: { stage, version, change },
        words: { reason },
        row: { table: 'study_version', key: { characteristic_id: characteristicId, stage, version } },
      })
      if (study.repeats === countedBefore) return
      await db
        .deleteFrom('repeat_choice')
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .execute()
      if (study.repeats !== 'every') {
        await db
          .insertInto('repeat_choice')
          .values({ characteristic_id: characteristicId, stage, choice: study.repeats })
          .execute()
      }
      const cells = await db
        .selectFrom('cell')
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .select('id')
        .execute()
      await recomputeCells(
        db,
        bulk,
        cells.map((cell) => cell.id),
      )
    },

    async leaveOut(place, grounds) {
      const { characteristicId, stage, buildId, single } = place
      const found = await findValue(db, place)
      if (found === null) return null
      let inForce = db
        .selectFrom('exclusion')
        .leftJoin('exclusion as undoing', 'undoing.undoes', 'exclusion.id')
        .where('exclusion.characteristic_id', '=', characteristicId)
        .where('exclusion.stage', '=', stage)
        .where('exclusion.build_id', '=', buildId)
        .where('exclusion.undoes', 'is', null)
        .where('undoing.id', 'is', null)
        .select('exclusion.id')
      inForce =
        single === null
          ? inForce.where('exclusion.serial', 'is', null)
          : inForce
              .where('exclusion.serial', '=', single.serial)
              .where('exclusion.replicate', '=', single.replicate)
              .where('exclusion.import_id', '=', found.importId)
      if ((await inForce.executeTakeFirst()) !== undefined) throw new StaleDecisionError('left out already')
      const id = await nextIdentity(db, 'exclusion')
      const row: ExclusionTable = {
        id,
        characteristic_id: characteristicId,
        stage,
        build_id: buildId,
        serial: single?.serial ?? null,
        replicate: single?.replicate ?? null,
        import_id: found.importId,
        undoes: null,
        ...grounds,
      }
      await db.insertInto('exclusion').values(row).execute()
      await appendExclusion('exclusion', row)
      if (found.cellId !== null) await recomputeCells(db, bulk, [found.cellId])
      return id
    },

    async takeBack(exclusionId, grounds) {
      const row = await db
        .selectFrom('exclusion')
        .selectAll()
        .where('id', '=', exclusionId)
        .where('undoes', 'is', null)
        .executeTakeFirst()
      if (row === undefined) return false
      const undone = await db
        .selectFrom('exclusion')
        .select('id')
        .where('undoes', '=', exclusionId)
        .executeTakeFirst()
      if (undone !== undefined) throw new StaleDecisionError('taken back already')
      const id = await nextIdentity(db, 'exclusion')
      const undoing: ExclusionTable = { ...row, id, undoes: exclusionId, ...grounds }
      await db.insertInto('exclusion').values(undoing).execute()
      await appendExclusion('exclusion-taken-back', undoing)
      const place = { characteristicId: row.characteristic_id, stage: row.stage, buildId: row.build_id }
      const single =
        row.serial === null || row.replicate === null
          ? null
          : { serial: row.serial, replicate: row.replicate }
      const found = await findValue(db, { ...place, single })
      if (found !== null && found.cellId !== null) await recomputeCells(db, bulk, [found.cellId])
      return true
    },

    async addFinding(partNumberId, finding) {
      const id = await nextIdentity(db, 'finding')
      await insertFinding(partNumberId, { ...finding, id, revision: 1 })
      return id
    },

    async reviseFinding(partNumberId, finding) {
      requireNext(await latestRevision(db, 'finding', finding.id), finding.revision)
      await insertFinding(partNumberId, finding)
    },

    async addRemark(partNumberId, remark) {
      const id = await nextIdentity(db, 'remark')
      await insertRemark(partNumberId, { ...remark, id, revision: 1 })
      return id
    },

    async reviseRemark(partNumberId, remark) {
      requireNext(await latestRevision(db, 'remark', remark.id), remark.revision)
      await insertRemark(partNumberId, remark)
    },
  }
}

/** The import and cell of a single value; neither for a whole subgroup, which has to be there. */
async function findValue(
  db: Kysely<Schema>,
  { characteristicId, stage, buildId, single }: ExclusionPlace,
): Promise<{ readonly importId: number | null; readonly cellId: number | null } | null> {
  const cells = db
    .selectFrom('cell')
    .where('cell.characteristic_id', '=', characteristicId)
    .where('cell.stage', '=', stage)
    .where('cell.build_id', '=', buildId)
  if (single === null) {
    const row = await cells.select('cell.id').executeTakeFirst()
    return row === undefined ? null : { importId: null, cellId: null }
  }
  const row = await cells
    .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
    .innerJoin('part', 'part.id', 'measurement.part_id')
    .where('part.serial', '=', single.serial)
    .where('measurement.replicate', '=', single.replicate)
    .select(['measurement.import_id as importId', 'cell.id as cellId'])
    .executeTakeFirst()
  return row ?? null
}

function requireNext(latest: number | null | undefined, next: number): void {
  if (Number(latest ?? 0) + 1 !== next) throw new StaleDecisionError(`the latest is ${latest ?? 0}`)
}

async function latestRevision(db: Kysely<Schema>, table: 'finding' | 'remark', id: number): Promise<number> {
  const row = await db
    .selectFrom(table)
    .where('id', '=', id)
    .select((eb) => eb.fn.max('revision').as('latest'))
    .executeTakeFirst()
  return Number(row?.latest ?? 0)
}

async function nextIdentity(db: Kysely<Schema>, table: 'exclusion' | 'finding' | 'remark'): Promise<number> {
  const row = await db
    .selectFrom(table)
    .select((eb) => eb.fn.max('id').as('last'))
    .executeTakeFirst()
  return Number(row?.last ?? 0) + 1
}
