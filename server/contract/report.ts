import type { IndexRequirement } from '../../src/capability/requirement.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import type { ChartModel, Panel, Subgroup } from '../../src/charts/model.ts'
import type { BinnedValues } from '../../src/description/binned-values.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { ConformityCounts } from '../../src/gauges/conformity.ts'
import type { GaugeCorrection } from '../../src/gauges/corrected-index.ts'
import type { GaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import type { ExclusionView, FindingView } from './decisions.ts'
import type { RecordHead } from './record.ts'

/** What a report is asked to be about. */
export interface ReportSettings {
  readonly stage: Stage
  /** The least Ppk asked of all, in the place of the customer's requirements; null for those. */
  readonly required: number | null
  /** As a fraction, likewise. */
  readonly confidence: number | null
  /** Names of the first and last build of the span; null where nothing is measured. */
  readonly from: string | null
  readonly to: string | null
  readonly title: string
}

/** Form of the content of reports that this program makes. Raise it with every change of `ReportContent`. */
export const REPORT_VERSION = 2

/** A report as it is kept, printed and verified. */
export interface Report {
  readonly kind: 'as-sintered report'
  /** Form of the content: that of this program, or a lower one of an earlier program, whose content differs. */
  readonly version: number
  /** Null for one that is not on record. */
  readonly number: number | null
  /** Seconds since 1970-01-01 UTC. */
  readonly madeAt: number
  readonly madeBy: string
  /** SHA-256 over `content` in canonical JSON. */
  readonly fingerprint: string
  readonly content: ReportContent
}

/** Everything that a report states. The same data and settings give the same content. */
export interface ReportContent {
  readonly settings: ReportSettings
  readonly partNumber: { readonly number: string; readonly revision: string; readonly name: string | null }
  readonly span: ReportSpan | null
  /** What is asked of characteristics without a class. */
  readonly fallback: IndexRequirement
  /** The verdict in a sentence, and what it rests on. */
  readonly headline: string
  readonly grounds: string
  /** In natural order of their designators. */
  readonly characteristics: readonly ReportCharacteristic[]
  /** Designators, names and requirements of those that are not measured in the span. */
  readonly notMeasured: readonly Characteristic[]
  /** All that is left out of the figures. */
  readonly exclusions: readonly ExclusionView[]
  /** Those that bear on builds of the span. */
  readonly findings: readonly FindingView[]
  readonly sources: ReportSources
  readonly record: ReportRecord
  readonly methods: readonly ReportMethod[]
  readonly cautions: readonly string[]
}

export interface ReportSpan {
  readonly first: string
  readonly last: string
  readonly builds: number
  readonly parts: number
  readonly values: number
}

export interface ReportCharacteristic {
  readonly characteristic: Characteristic
  readonly summary: Omit<CapabilitySummary, 'characteristic' | 'sigmaInControl'>
  /** The chart from the start of the record to the end of the span. */
  readonly chart: PackedChart
  /** Places of its subgroups among the builds of `ReportSources.timeline`. */
  readonly positions: readonly number[]
  readonly chartHeadline: string
  readonly chartGrounds: string
  /** Signals in the builds of the span. */
  readonly signals: readonly ReportSignal[]
  /** Null where all values are the same. */
  readonly values: BinnedValues | null
  /** Independent values that they are worth; the band of the probability plot allows for it. */
  readonly nEffective: number
  readonly outside: { readonly below: number; readonly above: number }
  /** Sequences of the record's entries that decided about it, ascending: limits, what is left out, findings, gauges. */
  readonly record: readonly number[]
  /** What measuring adds to what is reported; absent where nothing is known of the gauge. */
  readonly gauge?: ReportGauge
}

/** What is known of the gauge of a characteristic, and what that leaves of the figures. */
export interface ReportGauge {
  readonly name: string | null
  /** Number of the study that tells its spread; null where only its certificate speaks. */
  readonly study: number | null
  /** Expanded uncertainty for k = 2, in the unit of the characteristic. */
  readonly expanded: number | null
  readonly judgement: GaugeJudgement | null
  /** Null without a study or an index. Older reports have Ppk alone. */
  readonly cp?: GaugeCorrection | null
  readonly cpk?: GaugeCorrection | null
  readonly pp?: GaugeCorrection | null
  readonly ppk: GaugeCorrection | null
  /** Shares of such parts that the gauge misjudges; null where that cannot be told. */
  readonly misjudged: { readonly wronglyAccepted: number; readonly wronglyRejected: number } | null
  /** Values of the span by what they prove; null without limits, or of green parts. */
  readonly conformity: ConformityCounts | null
  /** Whose uncertainties those were judged by, most values first; absent where all were by `expanded`. */
  readonly judgedBy?: readonly JudgedBy[]
}

/** Values that were judged by the uncertainty of one gauge. */
export interface JudgedBy {
  /** As the rows of the values name it; null where they name none. */
  readonly gauge: string | null
  /** The gauge whose uncertainty was taken: another where nothing is known of the one named. */
  readonly from: string | null
  /** Null where that is not known: then they were not judged. */
  readonly expanded: number | null
  readonly values: number
}

/** Values that follow one another, each with how often it does. */
export type Runs<T> = readonly (readonly [value: T, count: number])[]

/** A chart model without what can be told from the rest of it; see packed-chart.ts. */
export interface PackedChart
  extends Pick<ChartModel, 'form' | 'spreadStatistic' | 'phases' | 'signals' | 'inControlRunLength'> {
  /** Sizes of the subgroups. */
  readonly n: Runs<number>
  /** Subgroups, by their index, of which all or single values are left out. */
  readonly leftOut: readonly {
    readonly at: number
    readonly whole: Pick<Subgroup, 'mean' | 'sd'> | null
    readonly values: readonly number[]
  }[]
  readonly location: PackedPanel
  readonly movingRange: PackedPanel | null
  readonly spread: PackedPanel | null
}

export interface PackedPanel extends Pick<Panel, 'id' | 'values'> {
  readonly centre: Runs<number | null>
  readonly lower: Runs<number | null>
  readonly upper: Runs<number | null>
  readonly sigma: Runs<number | null>
}

export interface ReportSignal {
  readonly words: string
  readonly from: string
  readonly to: string
  /** Number of the finding that answers it; null where it is open. */
  readonly finding: number | null
}

/** Where the values came from. */
export interface ReportSources {
  readonly timeline: readonly string[]
  /** Place of the first build of the span on the timeline. */
  readonly firstPlace: number
  readonly builds: readonly ReportBuild[]
  readonly imports: readonly ReportImport[]
}

export interface ReportBuild {
  readonly name: string
  readonly printedAt: number | null
  readonly printer: string | null
  readonly powderLot: string | null
  readonly powderReuse: number | null
  readonly parts: number
  readonly furnaceLoads: readonly {
    readonly name: string
    readonly furnace: string | null
    readonly profile: string | null
    readonly sinteredAt: number | null
  }[]
  readonly gauges: readonly string[]
}

/** Entries of the record that a report rests on; those about one characteristic stand with it. */
export interface ReportRecord {
  /** The last of all: its hash stands for the whole record up to there. Null where the record has none. */
  readonly last: RecordHead | null
  /** Sequences, ascending: files taken in and withdrawn, what was erased, what the customer asks. */
  readonly data: readonly number[]
}

export interface ReportImport {
  /** Sequence of its entry in the record; null where it is older than the record. */
  readonly entry: number | null
  readonly importId: number
  readonly fileName: string
  readonly sha256: string
  readonly who: string
  readonly at: number
  readonly values: number
}

export interface ReportMethod {
  readonly what: string
  readonly how: string
  readonly source: string
}

/** One line of the list of reports. */
export interface ReportSummary {
  readonly number: number
  readonly title: string
  readonly partNumber: string
  readonly revision: string
  readonly fingerprint: string
  readonly who: string
  readonly at: number
}

/** GET /api/reports */
export interface ReportsView {
  /** Newest first. */
  readonly reports: readonly ReportSummary[]
}

/** One thing that is not as it was. */
export interface ReportChange {
  /** What: a characteristic, an import, a signal. */
  readonly where: string
  readonly what: string
  /** Null where it was not there, or is not any more. */
  readonly was: string | null
  readonly is: string | null
}

/** POST /api/reports/verify, GET /api/reports/:number/verify */
export interface Verification {
  /** follows: everything stated follows from the data on record. changed: something does not any more.
   *  altered: the file does not state what it was made with. unknown: it cannot be told. */
  readonly verdict: 'follows' | 'changed' | 'altered' | 'unknown'
  /** In a sentence. */
  readonly said: string
  /** What it rests on, and what was not looked at. */
  readonly grounds: readonly string[]
  readonly report: ReportSummary | null
  /** At most `MOST_CHANGES`, figures first, and last what the report states of measuring. */
  readonly changes: readonly ReportChange[]
  readonly changeCount: number
}
