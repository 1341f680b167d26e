import type { ChartModel } from '../../src/charts/model.ts'
import type { Build, ScaleFactors } from '../../src/domain/build.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import type { ChartNote } from '../../src/figures/chart-panel-model.ts'
import type { Split } from '../../src/places/model.ts'
import type { AdjustmentSettings } from '../../src/shrinkage/adjustment.ts'
import type { Advice } from '../../src/shrinkage/advice.ts'
import type { Anisotropy } from '../../src/shrinkage/anisotropy.ts'
import type { AxisEstimate } from '../../src/shrinkage/axis-estimate.ts'
import type { ExpectedSize } from '../../src/shrinkage/expected-sizes.ts'
import type { AxisVariation } from '../../src/shrinkage/fit.ts'
import type { GreenLimits } from '../../src/shrinkage/green-limits.ts'
import type { Outcome } from '../../src/shrinkage/outcome.ts'
import type { PlaceEffects } from '../../src/shrinkage/place-effects.ts'
import type { Prediction } from '../../src/shrinkage/predict.ts'
import type { ProblemWords } from '../../src/shrinkage/problem-words.ts'
import type { ExplainedShare } from '../../src/shrinkage/shares.ts'
import type { Along, PerAxis, Sense, SizeTerms } from '../../src/shrinkage/terms.ts'
import type { VarianceSource } from '../../src/shrinkage/variance-sources.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { Signature } from './decisions.ts'
import type { PartNumber, TimelineBuild } from './views.ts'

/** A quantity of shrinkage by build, charted as individuals. */
export interface SeriesChartView {
  /** Values in per cent, or in mm for an offset. */
  readonly chart: ChartModel
  /** Positions of the chart's subgroups on the timeline, ascending. */
  readonly positions: readonly number[]
  /** Of each subgroup's own estimate, in the unit of the values. */
  readonly standardErrors: readonly number[]
}

/** Shrinkage along one axis. */
export interface AxisShrinkageView {
  readonly axis: Axis
  /** Null where nothing is measured along the axis. */
  readonly overall: AxisEstimate | null
  readonly variation: AxisVariation | null
  readonly shrinkage: SeriesChartView | null
  /** Null where it cannot be told apart from scale. */
  readonly offset: SeriesChartView | null
  /** What people wrote about characteristics of the axis. */
  readonly notes: readonly ChartNote[]
  readonly replay: ReplayView | null
}

/** One rule for the scale factor, played over the history. Deviations from nominal in per cent. */
export interface ReplayedRuleView {
  readonly factors: readonly number[]
  readonly deviations: readonly number[]
  /** Mean of the squared deviations, per cent squared, over the builds that rules could differ in. */
  readonly meanSquare: number
  readonly changes: number
}

export interface ReplayView {
  /** Positions on the timeline of the builds played; those before `from` are printed alike under every rule. */
  readonly positions: readonly number[]
  /** Index of the first build that rules could differ in. */
  readonly from: number
  /** Builds already printed when a build's measurements arrive. */
  readonly delay: number
  readonly asPrinted: ReplayedRuleView
  readonly advised: ReplayedRuleView
  readonly everyBuild: ReplayedRuleView
}

/** Something that keeps a correction from being advised, in words, with the axis that it concerns. */
export interface ObstacleView {
  readonly axis: Axis
  readonly words: string
  /** Characteristic whose chart to look at; null where there is none to. */
  readonly designator: string | null
}

/** What was decided, and what came of it. */
export interface FactorDecisionView extends Signature {
  readonly number: number
  readonly firstBuild: string
  readonly before: ScaleFactors
  readonly factors: ScaleFactors
  readonly advised: ScaleFactors
  readonly reason: string
  readonly predictions: readonly Prediction[]
  /** Names of the measured builds that were printed with these factors since. */
  readonly builds: readonly string[]
  /** Names of those from the first build on that carry other factors, up to the next decision. */
  readonly others: readonly string[]
  /** Empty until a build with the factors is measured. */
  readonly outcomes: readonly Outcome[]
  /** Whether the prediction held, in a sentence. */
  readonly verdict: Sentence
  /** Null while it stands; `builds` were printed with the factors nonetheless. */
  readonly takenBack: (Signature & { readonly reason: string }) | null
  /** Whether it stands and no build on record is printed with it. */
  readonly mayBeTakenBack: boolean
}

/** How one size is taken, and what was told of it; null where nothing was told. */
export interface SizeSettingView {
  readonly designator: string
  readonly title: string
  readonly along: Along | null
  readonly sense: Sense | null
  readonly counts: boolean
  readonly byDefault: { readonly along: Along; readonly sense: Sense }
}

/** How shrinkage is fitted and advised. */
export interface ShrinkageSettingsView {
  /** 0 while nobody has decided anything. */
  readonly version: number
  readonly adjustment: AdjustmentSettings
  /** Every size that can follow shrinkage. */
  readonly sizes: readonly SizeSettingView[]
  /** Newest first. */
  readonly history: readonly (Signature & { readonly version: number; readonly reason: string })[]
}

/** POST …/shrinkage/settings/preview: what other settings would have done to the same record. */
export interface SettingsPreviewView {
  /** The advice under them. */
  readonly headline: Sentence
  readonly axes: readonly {
    readonly axis: Axis
    /** What the advice would have left, under the settings in force and under those tried, in a sentence. */
    readonly words: Sentence
  }[]
  /** What the record lacks under them. */
  readonly problems: readonly ProblemWords[]
}

/** GET /api/part-numbers/:number/:revision/shrinkage */
export interface ShrinkageView {
  readonly partNumber: PartNumber
  /** Builds with sintered parts. */
  readonly builds: readonly TimelineBuild[]
  readonly headline: Sentence
  /** What the headline rests on, axis by axis. */
  readonly groundLines: readonly Sentence[]
  readonly caution: Sentence
  readonly advice: Advice
  readonly obstacles: readonly ObstacleView[]
  readonly axes: readonly AxisShrinkageView[]
  readonly anisotropy: readonly (Anisotropy & SeriesChartView)[]
  /** Furnace loads by the parts that they held, in the order of their first builds. */
  readonly loads: readonly { readonly name: string; readonly axes: PerAxis<AxisEstimate | null> }[]
  /** How each characteristic follows from shrinkage; those that do not are left out. */
  readonly terms: readonly SizeTerms[]
  readonly factors: {
    /** What the next build would be printed with, and where that is read from. */
    readonly present: ScaleFactors
    readonly source: { readonly build: string } | { readonly decision: number } | null
    /** With what is advised in place, to the four decimals that print jobs take. */
    readonly advised: ScaleFactors
  }
  readonly predictions: readonly Prediction[]
  /** Builds printed after the last measured one; those printed with the same factors, and what to expect of each. */
  readonly awaited: readonly { readonly builds: readonly Build[]; readonly sizes: readonly ExpectedSize[] }[]
  /**
   * Other part numbers in the latest builds, which a change of factors reaches too where it is made for the whole
   * build.
   */
  readonly sharing: readonly PartNumber[]
  readonly green: readonly GreenLimits[]
  /** Probability behind the guarded green limits. */
  readonly greenProbability: number
  readonly problems: readonly ProblemWords[]
  readonly settings: ShrinkageSettingsView
  /** Newest first. */
  readonly decisions: readonly FactorDecisionView[]
}

/** GET /api/part-numbers/:number/:revision/shrinkage/prediction?x=&y=&z= */
export interface PredictionView {
  readonly present: ScaleFactors
  readonly factors: ScaleFactors
  readonly predictions: readonly Prediction[]
}

/** GET /api/part-numbers/:number/:revision/shrinkage/shares */
export interface SharesView {
  readonly axes: readonly {
    readonly axis: Axis
    /** One condition at a time. */
    readonly shares: readonly ExplainedShare[]
    /** Builds against builds, per cent of shrinkage. */
    readonly splits: readonly Split[]
    /** All at once; empty where nothing is fitted. */
    readonly sources: readonly VarianceSource[]
    /** Null where no places are recorded. */
    readonly places: PlaceEffects | null
  }[]
  /** What of the single values stands behind places and trays. */
  readonly sample: {
    readonly builds: number
    readonly ofBuilds: number
    readonly values: number
    /** The most that are read. */
    readonly most: number
  }
}
