import type { OutsideBy } from '../../src/capability/fraction-outside.ts'
import type { IndexCourse } from '../../src/capability/index-course.ts'
import type { ObservedShare } from '../../src/capability/observed-outside.ts'
import type { CapabilitySummary, Verdict } from '../../src/capability/summary.ts'
import type { SupposedFigures } from '../../src/capability/what-if.ts'
import type { BinnedValues } from '../../src/description/binned-values.ts'
import type { GaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { CorrectedRow } from './gauges.ts'
import type { CapabilityView, PartNumber } from './views.ts'

/** A characteristic that a page can go on to. */
export interface NamedCharacteristic {
  readonly designator: string
  readonly name: string
}

/** What single values of a span show that cells do not. */
export interface ValuesDetail {
  /** Null where all values are the same. */
  readonly binned: BinnedValues | null
  /** Independent values that they are worth, for the band of the probability plot. */
  readonly nEffective: number
  /** Values beyond the limits that can be broken, counted. */
  readonly seenOutside: OutsideBy<ObservedShare>
}

/** What a study says of the gauge that measures a characteristic. */
export interface GaugeDetail {
  /** Null where the study does not name its gauge. */
  readonly gauge: string | null
  readonly studyId: number | null
  readonly judgement: GaugeJudgement | null
}

/** GET /api/part-numbers/:number/:revision/characteristics/:designator/capability?stage=&required=&confidence=&last= */
export interface CapabilityDetailView extends Pick<CapabilityView, 'stage' | 'builds' | 'isAsked'> {
  readonly partNumber: PartNumber
  readonly characteristic: CapabilitySummary['characteristic']
  /** Its place among the characteristics measured in the span, from 1, and how many those are; null where it is not. */
  readonly place: number | null
  readonly of: number
  readonly before: NamedCharacteristic | null
  readonly after: NamedCharacteristic | null
  readonly headline: Sentence
  readonly grounds: Sentence
  /** Null where the span holds no value of it. */
  readonly measured:
    | (ValuesDetail & {
        readonly summary: CapabilitySummary
        /** Names of the builds of the span that hold values of it, in order. */
        readonly buildNames: readonly string[]
        /** Null where nothing is known of a gauge for it. */
        readonly gauge: GaugeDetail | null
        /** With the gauge’s spread taken out, where a study tells it. */
        readonly corrected: CorrectedRow | null
      })
    | null
}

/**
 * GET /api/part-numbers/:number/:revision/characteristics/:designator/index-course?stage=&required=&confidence=&last=
 *
 * By itself, since it takes longer than all else.
 */
export interface IndexCourseView {
  /** Null where there are not more builds than a window holds. */
  readonly course: IndexCourse | null
  /** Names of the builds that it counts. */
  readonly buildNames: readonly string[]
}

/** GET /api/part-numbers/:number/:revision/characteristics/:designator/what-if?…&centred=&alike=&lower=&upper= */
export interface WhatIfView {
  /** What would follow, or why it cannot be said. */
  readonly words: Sentence
  /** Null where it cannot be said. */
  readonly supposed: SupposedFigures | null
  /** Of Ppk against the requirement; null where there is none, or Cpk is asked. */
  readonly verdict: Verdict | null
}
