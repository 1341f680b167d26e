import type { ChartModel } from '../../src/charts/model.ts'
import type { Characteristic, WrittenUnit } from '../../src/domain/characteristic.ts'
import type { AverageAndRange, NoAverageAndRange } from '../../src/gauges/average-and-range.ts'
import type { BiasStudy } from '../../src/gauges/bias.ts'
import type { CorrectedIndices } from '../../src/gauges/corrected-index.ts'
import type { DueState } from '../../src/gauges/due.ts'
import type { GaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import type { MethodAgreement, NoAgreement } from '../../src/gauges/method-agreement.ts'
import type { Misjudged } from '../../src/gauges/misjudged.ts'
import type { StepSize } from '../../src/gauges/resolution.ts'
import type { StandOut } from '../../src/gauges/stand-out.ts'
import type { GaugeStudy, StudyFigure } from '../../src/gauges/study-model.ts'
import type { StudyPurpose } from '../../src/gauges/study-purpose.ts'
import type { MeasurementUncertainty } from '../../src/gauges/uncertainty.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { PartNumber } from './views.ts'

/** A characteristic with the drawing that it stands on. */
export interface CharacteristicPlace {
  readonly characteristic: Characteristic
  readonly partNumber: PartNumber
}

export interface GaugeRow {
  readonly name: string
  /** Null while only files name it. */
  readonly kind: string | null
  /** Day as YYYY-MM-DD. */
  readonly due: string | null
  /** Null while only files name it. */
  readonly state: DueState | null
  readonly measures: readonly CharacteristicPlace[]
  readonly lastStudy: { readonly id: number; readonly at: number } | null
}

export interface MeasuredRow extends CharacteristicPlace {
  /** Null where nothing is known of any gauge for it, or a study does not name its gauge. */
  readonly gauge: string | null
  readonly judgement: GaugeJudgement | null
  readonly categories: StudyFigure | null
  readonly gaugeSd: StudyFigure | null
  readonly uncertainty: MeasurementUncertainty | null
  readonly studyId: number | null
  readonly studiedAt: number | null
}

export interface StudyRow {
  readonly id: number
  readonly importId: number
  readonly fileName: string
  readonly who: string
  readonly at: number
  readonly purpose: StudyPurpose
  readonly gauges: readonly string[]
  readonly on: CharacteristicPlace | null
  readonly readings: number
  /** What came of it, in a sentence. */
  readonly headline: Sentence
}

export interface PlanRow {
  readonly number: number
  readonly gauge: string | null
  readonly on: CharacteristicPlace | null
  readonly parts: number
  readonly inspectors: number
  readonly trials: number
  readonly who: string
  readonly at: number
  /** The study that was measured by it; null while there is none. */
  readonly studyId: number | null
}

/** GET /api/gauges */
export interface GaugesView {
  readonly headline: Sentence
  readonly grounds: Sentence
  /** As YYYY-MM-DD. */
  readonly today: string
  readonly gauges: readonly GaugeRow[]
  readonly characteristics: readonly MeasuredRow[]
  /** Newest first. */
  readonly studies: readonly StudyRow[]
  readonly plans: readonly PlanRow[]
}

export interface GaugeEntryView {
  readonly version: number
  readonly kind: string
  readonly unit: WrittenUnit
  readonly resolution: number | null
  readonly certificate: {
    readonly number: string
    readonly expanded: number
    readonly coverageFactor: number
    readonly date: string
  } | null
  readonly due: string | null
  readonly measures: readonly CharacteristicPlace[]
  readonly inUse: boolean
  readonly reason: string
  readonly who: string
  readonly at: number
}

/** The chart of a check part over all files that hold it. */
export interface CheckPartView {
  readonly part: string
  readonly on: CharacteristicPlace | null
  readonly headline: Sentence
  readonly grounds: Sentence
  /** Day from which the gauge had moved, as YYYY-MM-DD; null where it stayed. */
  readonly moved: string | null
  readonly chart: ChartModel
  readonly readings: readonly ReadingView[]
}

/** GET /api/gauges/register/:gauge */
export interface GaugeView {
  readonly name: string
  readonly headline: Sentence
  readonly grounds: Sentence
  readonly today: string
  readonly state: DueState | null
  /** Newest first; empty while only files name it. */
  readonly entries: readonly GaugeEntryView[]
  readonly results: readonly MeasuredRow[]
  readonly checks: readonly CheckPartView[]
  readonly studies: readonly StudyRow[]
  /** All characteristics on record, to choose from. */
  readonly characteristics: readonly CharacteristicPlace[]
}

/** A reading that leads to its row in the file. */
export interface ReadingView {
  readonly importId: number
  readonly line: number
  readonly part: string
  readonly inspector: string
  readonly trial: number | null
  readonly value: number
  readonly gauge: string | null
  readonly reference: number | null
  readonly measuredAt: number | null
}

/** The spread of one gauge. */
export interface SpreadView {
  readonly study: GaugeStudy
  readonly judgement: GaugeJudgement | null
  readonly standOuts: readonly StandOut[]
  readonly averageAndRange: AverageAndRange | NoAverageAndRange
  /** Step of the gauge by the register; null where it is not known. */
  readonly resolution: number | null
  readonly step: StepSize | null
  /** Shares of parts like those made lately that this gauge misjudges; null where that cannot be told. */
  readonly misjudged: Misjudged | null
  readonly uncertainty: MeasurementUncertainty | null
}

/** GET /api/gauges/studies/:study */
export interface GaugeStudyView extends Omit<StudyRow, 'readings'> {
  readonly grounds: Sentence
  readonly caution: string
  /** Of which the words speak where the file names no characteristic. */
  readonly characteristic: Characteristic
  readonly plan: number | null
  readonly readings: readonly ReadingView[]
  /** Readings that its plan, or the other parts, make one expect. */
  readonly missing: number
  readonly spread: SpreadView | null
  readonly bias: BiasStudy | null
  readonly agreement: {
    readonly gauges: readonly [string, string]
    readonly pairs: readonly { readonly part: string; readonly first: number; readonly second: number }[]
    readonly result: MethodAgreement | NoAgreement
    readonly content: number
    readonly confidence: number
  } | null
  readonly check: CheckPartView | null
}

/** GET /api/gauges/plans/:plan */
export interface GaugePlanView extends PlanRow {
  readonly partNames: readonly string[]
  readonly inspectorNames: readonly string[]
  readonly seed: number
  readonly lines: readonly {
    readonly order: number
    readonly trial: number
    readonly inspector: string
    readonly part: string
  }[]
}

/** Performance of one characteristic with the gauge's spread taken out. */
export interface CorrectedRow {
  readonly characteristicId: number
  readonly gauge: string | null
  readonly studyId: number
  readonly indices: CorrectedIndices
  /** Shares of such parts that the gauge misjudges; null where the gauge alone explains what was seen. */
  readonly misjudged: Misjudged | null
}

/** GET /api/gauges/choices: what a plan or an entry can be about. */
export interface GaugeChoicesView {
  readonly gauges: readonly string[]
  readonly characteristics: readonly CharacteristicPlace[]
}
