import type { RepeatChoice } from '../../src/charts/repeats.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { FindingState, FindingVerified } from '../../src/domain/finding.ts'

/** Tables of what people decide. Rows are only ever added; the latest counts. */
export interface DecisionTables {
  study_version: StudyVersionTable
  exclusion: ExclusionTable
  finding: FindingTable
  remark: RemarkTable
  repeat_choice: RepeatChoiceTable
}

export interface StudyVersionTable {
  characteristic_id: number
  stage: Stage
  /** From 1 upwards. */
  version: number
  /** The study without its stage and exclusions, as JSON. */
  study: string
  /** The change that made this version of the one before, as JSON. */
  change: string
  reason: string
  who: string
  at: number
}

/**
 * Which of several measurements of a part counts by the study in force, where it is not each of them: kept apart from
 * the studies, since every computing of cells asks for it.
 */
export interface RepeatChoiceTable {
  characteristic_id: number
  stage: Stage
  choice: RepeatChoice
}

export interface ExclusionTable {
  id: number
  characteristic_id: number
  stage: Stage
  build_id: number
  /** The part whose value is left out; null where the whole subgroup is, as are the two below. */
  serial: string | null
  replicate: number | null
  /** The import that the value came with: one that comes in its place is another. */
  import_id: number | null
  /** The exclusion that this entry takes back; null for an entry that leaves something out. */
  undoes: number | null
  reason: string
  who: string
  at: number
}

export interface FindingTable {
  id: number
  /** From 1 upwards. */
  revision: number
  part_number_id: number
  stage: Stage
  /** Identities as a JSON array. */
  characteristics: string
  from_build_id: number
  to_build_id: number
  cause: string
  action: string
  state: FindingState
  verified: FindingVerified
  who: string
  at: number
}

export interface RemarkTable {
  id: number
  /** From 1 upwards. */
  revision: number
  part_number_id: number
  build_id: number
  /** Null where it was taken back. */
  text: string | null
  who: string
  at: number
}
