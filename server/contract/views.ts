import type { IndexRequirement } from '../../src/capability/requirement.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import type { Build } from '../../src/domain/build.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic, Unit } from '../../src/domain/characteristic.ts'
import type { Estimate, EventKind, ProcessEvent } from '../../src/events/event.ts'
import type { RankedCondition } from '../../src/events/rank-conditions.ts'
import type { Overview } from '../../src/overview/overview.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { ExclusionView, FindingView, RemarkView, StudyView } from './decisions.ts'
import type { CorrectedRow } from './gauges.ts'

/** A drawing that parts are made to. */
export interface PartNumber {
  readonly id: number
  readonly number: string
  readonly revision: string
  readonly name: string | null
}

export interface PartNumberSummary extends PartNumber {
  readonly characteristics: number
  readonly builds: number
  readonly measurements: number
  readonly lastBuild: string | null
  /** Stages that parts of it were measured at, from green on. */
  readonly stages: readonly Stage[]
}

/** GET /api/shop */
export interface ShopView {
  readonly partNumbers: readonly PartNumberSummary[]
  /** True while the sample shop may be loaded: the database is empty and the files are there. */
  readonly sampleOffered: boolean
}

/** What moved at a part number, as its page Drift opens with it. */
export interface PartNumberNews {
  readonly number: string
  readonly revision: string
  readonly name: string | null
  readonly stage: Stage
  readonly lastBuild: string | null
  readonly headline: Sentence
  readonly grounds: Sentence
  /**
   * Build that an event began at which nobody has answered, the one that the headline tells of; null where there is
   * none.
   */
  readonly movedSince: string | null
  /** Further events that stand and that nobody has answered. */
  readonly further: number
}

/** GET /api/shop/news */
export interface ShopNewsView {
  /** Those that moved come first. */
  readonly partNumbers: readonly PartNumberNews[]
}

/** A build as the timeline shows it, with the conditions its parts met later. */
export interface TimelineBuild extends Build {
  /** Furnaces and gauges that its measured parts went through, usually one each. */
  readonly furnaces: readonly string[]
  readonly gauges: readonly string[]
}

/** GET /api/part-numbers/:number/:revision/drift?stage= */
export interface DriftView {
  readonly partNumber: PartNumber
  readonly stage: Stage
  readonly builds: readonly TimelineBuild[]
  readonly overview: Overview
  /** Latest build first. */
  readonly findings: readonly FindingView[]
  readonly remarks: readonly RemarkView[]
}

/** GET /api/part-numbers/:number/:revision/characteristics/:designator/chart?stage= */
export interface ChartView {
  readonly partNumber: PartNumber
  readonly characteristic: Characteristic
  readonly stage: Stage
  /** The builds of `chart.subgroups`, in the same order. */
  readonly builds: readonly TimelineBuild[]
  readonly chart: ChartModel
  /** How limits were made and why in this form. What moved is told by the events. */
  readonly grounds: Sentence
  /** In words, parallel to `chart.signals`. */
  readonly signalWords: readonly string[]
  /**
   * How often each would be a false alarm, parallel to `chart.signals`: builds on average from one signal of its test
   * to the next where nothing changes.
   */
  readonly falseAlarmEvery: readonly number[]
  /** Number of the finding that answers each signal, parallel to `chart.signals`; null where none does. */
  readonly answers: readonly (number | null)[]
  /** What a change of gauge says of each signal that begins at one, parallel to `chart.signals`; null for the others. */
  readonly gaugeWords: readonly (string | null)[]
  readonly study: StudyView
  /** What is left out of it. */
  readonly exclusions: readonly ExclusionView[]
}

/** Something that happened to one or several characteristics at once. Positions are those of `DriftView.builds`. */
export interface EventView {
  readonly kind: EventKind
  readonly sentence: Sentence
  readonly grounds: Sentence
  /** The most likely first build of it, and all that may be, with 95 % confidence. */
  readonly from: number
  readonly plausible: readonly number[]
  readonly to: number
  /** Whether the latest builds still show it. */
  readonly standing: boolean
  readonly members: readonly {
    readonly designator: string
    readonly name: string
    readonly unit: Unit
    /** In the characteristic's unit; null for scatter. */
    readonly shift: Estimate | null
    readonly percent: Estimate | null
    readonly scatter: Estimate | null
    readonly signals: number
  }[]
  readonly conditions: readonly RankedCondition[]
  /** Value of a condition that it is confined to, such as one furnace; null where it is not. */
  readonly confinedTo: ProcessEvent['confinedTo']
  /** Number of the finding that answers it for every member; null where none does. */
  readonly answer: number | null
  /** When a limit of specification is reached, should a drift go on; null where there is nothing to forecast. */
  readonly forecast: {
    readonly designator: string
    readonly side: 'lower' | 'upper'
    /** Builds from the last one on: 0 is the last, 1 the next. Null where no end is in sight. */
    readonly inBuilds: number | null
    readonly earliest: number | null
    readonly latest: number | null
    readonly reached: boolean
    readonly words: Sentence
  } | null
}

/** GET /api/part-numbers/:number/:revision/events?stage= */
export interface EventsView {
  /** Names of the builds that positions count, in the order of the timeline. */
  readonly buildNames: readonly string[]
  /** What stands first, then the latest first. */
  readonly events: readonly EventView[]
  /** Position of the one that the page opens with; null where all is past or answered. */
  readonly opening: number | null
  /** What every page opens with: that event, or else what the charts say all the same. */
  readonly headline: Sentence
  readonly grounds: Sentence
  /** Chance of one event or more where nothing was the matter, as a fraction. */
  readonly level: number
  /** Signals that do not amount to an event, and how many to expect by chance among these builds. */
  readonly bareSignals: number
  readonly expectedByChance: number
}

/** A value and the limits of its part's own, in the unit of `Characteristic.ownLimits`. */
export interface MeasuredAgainstOwn {
  readonly measured: number
  readonly lower: number | null
  readonly upper: number | null
}

/** One measurement with the way back to its row. */
export interface TracedMeasurement {
  readonly replicate: number
  /** As it is judged: where the part has limits of its own, in units of its own tolerance. */
  readonly value: number
  /** What it was judged by there, as measured; absent where the limits of the drawing hold. */
  readonly own?: MeasuredAgainstOwn
  readonly gauge: string | null
  readonly inspector: string | null
  /** Seconds since 1970-01-01 UTC. */
  readonly measuredAt: number | null
  readonly importId: number
  readonly fileName: string
  /** Line of that file, counted from 1, header included. */
  readonly line: number
}

/** One value of a build, with its part. */
export interface TracedValue extends TracedMeasurement {
  readonly serial: string
  readonly tray: string | null
  readonly trayPlace: string | null
  readonly bed: { readonly x: number | null; readonly y: number | null; readonly z: number | null }
  readonly furnaceLoad: string | null
}

/** GET /api/part-numbers/:number/:revision/characteristics/:designator/builds/:build?stage= */
export interface SubgroupView {
  readonly build: Build
  readonly values: readonly TracedValue[]
  /** What is left out of these values, or the build as a whole. */
  readonly exclusions: readonly ExclusionView[]
}

/** GET /api/part-numbers/:number/:revision/capability?stage=&required=&confidence=&last= */
export interface CapabilityView {
  readonly partNumber: PartNumber
  readonly stage: Stage
  readonly builds: { readonly first: string; readonly last: string; readonly count: number } | null
  readonly parts: number
  /** What is asked of characteristics without a class. */
  readonly fallback: IndexRequirement
  /** One index was asked of all, in the place of the customer's requirements. */
  readonly isAsked: boolean
  readonly rows: readonly CapabilitySummary[]
  /** With the gauge's spread taken out, where a study tells it. */
  readonly corrected: readonly CorrectedRow[]
  readonly headline: Sentence
  readonly grounds: Sentence
}
