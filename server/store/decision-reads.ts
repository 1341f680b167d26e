import type { Kysely } from 'kysely'
import type { StudyChange } from '../../src/charts/change-study.ts'
import type { Study } from '../../src/charts/study.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { FindingState, FindingVerified } from '../../src/domain/finding.ts'
import type { Schema } from './schema.ts'

/** What of a study is decided; its stage and exclusions are kept apart. */
export type StudyChoices = Omit<Study, 'stage' | 'exclusions'>

/** Who wrote something, and when. */
export interface Signed {
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

export interface StudyVersion extends Signed {
  readonly characteristicId: number
  /** From 1 upwards. */
  readonly version: number
  readonly study: StudyChoices
  readonly change: StudyChange
  readonly reason: string
}

/** Something left out, and who took that back, if anybody did. */
export interface ExclusionRecord extends Signed {
  readonly id: number
  readonly characteristicId: number
  readonly buildId: number
  /** The single value left out; null where the whole subgroup is. */
  readonly single: {
    readonly serial: string
    readonly replicate: number
    /** Null where the measurement is not counted any more, since its import was withdrawn. */
    readonly value: number | null
  } | null
  readonly reason: string
  readonly undone: (Signed & { readonly reason: string }) | null
}

/** One revision of a finding. */
export interface FindingRevision extends Signed {
  readonly id: number
  /** From 1 upwards. */
  readonly revision: number
  readonly stage: Stage
  readonly characteristicIds: readonly number[]
  readonly fromBuildId: number
  readonly toBuildId: number
  readonly cause: string
  readonly action: string
  readonly state: FindingState
  readonly verified: FindingVerified
}

/** One revision of a remark. */
export interface RemarkRevision extends Signed {
  readonly id: number
  /** From 1 upwards. */
  readonly revision: number
  readonly buildId: number
  /** Null where it was taken back. */
  readonly text: string | null
}

/** What a build is called and when it was printed, for decisions about builds that are not on a timeline any more. */
export interface BuildName {
  readonly id: number
  readonly name: string
  /** Seconds since 1970-01-01 UTC; null where not recorded. */
  readonly printedAt: number | null
}

export interface DecisionReads {
  /** The builds with these identities, in any order. */
  buildNames(ids: readonly number[]): Promise<BuildName[]>
  /** The latest study of each characteristic of the part number that somebody decided about. */
  latestStudies(partNumberId: number, stage: Stage): Promise<StudyVersion[]>
  /** All versions, oldest first. */
  studyVersions(characteristicId: number, stage: Stage): Promise<StudyVersion[]>
  /** Everything ever left out, oldest first, taken back or not. */
  exclusions(partNumberId: number, stage: Stage): Promise<ExclusionRecord[]>
  /** All revisions, by finding, oldest first. */
  findings(partNumberId: number): Promise<FindingRevision[]>
  /** All revisions, by remark, oldest first. */
  remarks(partNumberId: number): Promise<RemarkRevision[]>
}

export function decisionReads(db: Kysely<Schema>): DecisionReads {
  const versions = () =>
    db
      .selectFrom('study_version')
      .select([
        'study_version.characteristic_id as characteristicId',
        'study_version.version',
        'study_version.study',
        'study_version.change',
        'study_version.reason',
        'study_version.who',
        'study_version.at',
      ])
  return {
    async buildNames(ids) {
      if (ids.length === 0) return []
      return await db
        .selectFrom('build')
        .where('id', 'in', [...ids])
        .select(['id', 'name', 'printed_at as printedAt'])
        .execute()
    },

    async latestStudies(partNumberId, stage) {
      const rows = await versions()
        .innerJoin('characteristic', 'characteristic.id', 'study_version.characteristic_id')
        .where('characteristic.part_number_id', '=', partNumberId)
        .where('study_version.stage', '=', stage)
        .where('study_version.version', '=', (eb) =>
          eb
            .selectFrom('study_version as other')
            .whereRef('other.characteristic_id', '=', 'study_version.characteristic_id')
            .whereRef('other.stage', '=', 'study_version.stage')
            .select((e) => e.fn.max('other.version').as('latest')),
        )
        .execute()
      return rows.map(versionOf)
    },

    async studyVersions(characteristicId, stage) {
      const rows = await versions()
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .orderBy('version')
        .execute()
      return rows.map(versionOf)
    },

    async exclusions(partNumberId, stage) {
      const rows = await db
        .selectFrom('exclusion')
        .innerJoin('characteristic', 'characteristic.id', 'exclusion.characteristic_id')
        .leftJoin('exclusion as undoing', 'undoing.undoes', 'exclusion.id')
        .where('characteristic.part_number_id', '=', partNumberId)
        .where('exclusion.stage', '=', stage)
        .where('exclusion.undoes', 'is', null)
        .select((eb) => [
          'exclusion.id',
          'exclusion.characteristic_id as characteristicId',
          'exclusion.build_id as buildId',
          'exclusion.replicate',
          'exclusion.reason',
          'exclusion.who',
          'exclusion.at',
          'exclusion.serial',
          'undoing.who as undoneBy',
          'undoing.at as undoneAt',
          'undoing.reason as undoneFor',
          eb
            .selectFrom('cell')
            .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
            .whereRef('cell.characteristic_id', '=', 'exclusion.characteristic_id')
            .whereRef('cell.stage', '=', 'exclusion.stage')
            .whereRef('cell.build_id', '=', 'exclusion.build_id')
            .innerJoin('part', 'part.id', 'measurement.part_id')
            .whereRef('part.serial', '=', 'exclusion.serial')
            .whereRef('measurement.replicate', '=', 'exclusion.replicate')
            .whereRef('measurement.import_id', '=', 'exclusion.import_id')
            .select('measurement.value')
            .as('value'),
        ])
        .orderBy('exclusion.id')
        .execute()
      return rows.map((row) => ({
        id: row.id,
        characteristicId: row.characteristicId,
        buildId: row.buildId,
        single:
          row.serial === null || row.replicate === null
            ? null
            : { serial: row.serial, replicate: row.replicate, value: row.value },
        reason: row.reason,
        who: row.who,
        at: row.at,
        undone:
          row.undoneBy === null || row.undoneAt === null
            ? null
            : { who: row.undoneBy, at: row.undoneAt, reason: row.undoneFor ?? '' },
      }))
    },

    async findings(partNumberId) {
      const rows = await db
        .selectFrom('finding')
        .selectAll()
        .where('part_number_id', '=', partNumberId)
        .orderBy('id')
        .orderBy('revision')
        .execute()
      return rows.map((row) => ({
        id: row.id,
        revision: row.revision,
        stage: row.stage,
        characteristicIds: JSON.parse(row.characteristics) as number[],
        fromBuildId: row.from_build_id,
        toBuildId: row.to_build_id,
        cause: row.cause,
        action: row.action,
        state: row.state,
        verified: row.verified,
        who: row.who,
        at: row.at,
      }))
    },

    async remarks(partNumberId) {
      return await db
        .selectFrom('remark')
        .select(['id', 'revision', 'build_id as buildId', 'text', 'who', 'at'])
        .where('part_number_id', '=', partNumberId)
        .orderBy('id')
        .orderBy('revision')
        .execute()
    },
  }
}

function versionOf(row: {
  readonly characteristicId: number
  readonly version: number
  readonly study: string
  readonly change: string
  readonly reason: string
  readonly who: string
  readonly at: number
}): StudyVersion {
  return {
    ...row,
    study: JSON.parse(row.study) as StudyChoices,
    change: JSON.parse(row.change) as StudyChange,
  }
}
