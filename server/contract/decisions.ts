import type { ChartModel } from '../../src/charts/model.ts'
import type { RepeatChoice } from '../../src/charts/repeats.ts'
import type { StepEstimator, WithinEstimator } from '../../src/charts/study.ts'
import type { TestId } from '../../src/charts/tests.ts'
import type { FindingState, FindingVerified } from '../../src/domain/finding.ts'

/** What people decide about charts, as the client sees it. Builds and characteristics go by their names here. */

/** Who decided, and when. */
export interface Signature {
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

/** One version of a study. */
export interface StudyEntry extends Signature {
  readonly version: number
  /** What was changed, in words that follow the name: "opened a phase at build 0430". */
  readonly did: string
  readonly reason: string
}

/** GET …/characteristics/:designator/study?stage= */
export interface StudyView {
  /** Version in force; 0 while nobody has decided anything. */
  readonly version: number
  readonly tests: readonly TestId[]
  readonly within: WithinEstimator
  readonly step: StepEstimator
  /** Which of several measurements of a part counts. */
  readonly repeats: RepeatChoice
  /** The first builds of the phases that somebody opened. */
  readonly opened: readonly string[]
  /** Newest first. */
  readonly history: readonly StudyEntry[]
}

/** A signal of a preview. */
export interface SignalNote {
  readonly words: string
  /** Names of its first and last build. */
  readonly from: string
  readonly to: string
}

/** POST …/characteristics/:designator/study/preview?stage= */
export interface StudyPreview {
  /** The version that it is a change of; to be given when it is confirmed. */
  readonly version: number
  readonly did: string
  readonly before: ChartModel
  readonly after: ChartModel
  readonly gained: readonly SignalNote[]
  readonly lost: readonly SignalNote[]
}

/** Something left out of one characteristic and stage, in force. */
export interface ExclusionView extends Signature {
  readonly id: number
  readonly designator: string
  readonly build: string
  /** The single value; null where the build is left out as a whole. */
  readonly single: { readonly serial: string; readonly replicate: number; readonly value: number } | null
  readonly reason: string
}

/** A finding as it stands now. */
export interface FindingView extends Signature {
  readonly number: number
  readonly revision: number
  /** Designators. */
  readonly characteristics: readonly string[]
  /** Names of the builds that it is about, from the first to the last. */
  readonly from: string
  readonly to: string
  /** Their places among the builds of the timeline; null where none of them is on it. */
  readonly places: { readonly from: number; readonly to: number } | null
  readonly cause: string
  readonly action: string
  readonly state: FindingState
  readonly verified: FindingVerified
  /** Who wrote it first, and when. */
  readonly first: Signature
}

/** A remark on the timeline as it stands now. */
export interface RemarkView extends Signature {
  readonly number: number
  readonly revision: number
  readonly build: string
  /** Place of the build on the timeline; null where it is not on it. */
  readonly place: number | null
  readonly text: string
}

/** GET …/findings?stage= */
export interface FindingsView {
  /** Latest build first. */
  readonly findings: readonly FindingView[]
}

/** GET …/remarks?stage= */
export interface RemarksView {
  readonly remarks: readonly RemarkView[]
}

/** GET …/exclusions?stage= */
export interface ExclusionsView {
  readonly exclusions: readonly ExclusionView[]
}
