/**
 * What a gauge study tells of. Repeatability: readings of one part by one inspector. Inspector: what inspectors differ
 * by throughout. Interaction: what they differ by on some parts only. Reproducibility: both of these. Gauge: all of the
 * former. Part: what the parts themselves differ by. Total: gauge and part.
 */
export const COMPONENTS = [
  'repeatability',
  'inspector',
  'interaction',
  'reproducibility',
  'gauge',
  'part',
  'total',
] as const

export type ComponentName = (typeof COMPONENTS)[number]

/** A figure with two-sided confidence limits. */
export interface StudyFigure {
  readonly value: number
  readonly lower: number
  /** Null where the readings set no upper limit. */
  readonly upper: number | null
}

/** One component's scatter. */
export interface GaugeComponent {
  /** Squared units; 0 where nothing of it can be seen. */
  readonly variance: number
  /** Standard deviation in the unit of the readings, with its limits. */
  readonly sd: StudyFigure
  /** Its standard deviation over the total one; null where the total is not known or 0. Shares do not add up to 1. */
  readonly shareOfSpread: number | null
  /** Its variance over the total one: these add up. */
  readonly shareOfVariance: number | null
  /** Six standard deviations over the width of the tolerance; null without both limits. */
  readonly shareOfTolerance: StudyFigure | null
}

/** What is missing from the readings, and what cannot be said for that. Words are in `gauge-words.ts`. */
export type Shortfall =
  /** No reading at all, or a single one. */
  | 'too few readings'
  /** All readings are equal: the spread is hidden in the gauge's step. */
  | 'constant readings'
  /** Repeated readings never differ: repeatability is hidden in the gauge's step. */
  | 'constant repeats'
  /** Not every part was measured equally often by every inspector: estimated by restricted maximum likelihood. */
  | 'missing readings'
  /** No reading was repeated: repeatability cannot be told from the interaction. */
  | 'one trial'
  /** No spread of parts, hence no shares of spread. */
  | 'one part'
  /** Nothing can be said of inspectors. */
  | 'one inspector'
  /** Too few readings are repeated for all components of the layout to be told apart. */
  | 'components mixed'
  /** The likelihood has no maximum that could be found, as where readings fit together without any scatter. */
  | 'no maximum'
  /** More pairs of part and inspector than are analysed where they were measured unevenly. */
  | 'too many pairs'
  /** Each part was measured by one inspector only, so that differences between inspectors rest on their parts. */
  | 'parts nested'

/** One line of an analysis of variance. */
export interface AnalysisLine {
  readonly source: 'part' | 'inspector' | 'interaction' | 'repeatability'
  readonly df: number
  readonly sumOfSquares: number
  readonly meanSquare: number
  /** Over the mean square that it is tested against; null for the last line or where that is 0. */
  readonly f: number | null
  /** Probability of an F as large without the component. */
  readonly p: number | null
}

export type StudyLayout = 'crossed' | 'nested'

export type StudyMethod = 'analysis of variance' | 'restricted maximum likelihood'

/** How intervals were found: by modified large samples or by profile likelihood. */
export interface GaugeStudy {
  readonly layout: StudyLayout
  readonly method: StudyMethod
  readonly n: number
  readonly parts: readonly string[]
  readonly inspectors: readonly string[]
  /** Readings of each part by each inspector; null where they differ. */
  readonly trials: number | null
  /** What the interaction was taken for; null where none can be told. */
  readonly interaction: 'kept' | 'pooled' | null
  /** Of a balanced study, the interaction kept; empty for others. */
  readonly analysis: readonly AnalysisLine[]
  /** Null for a component that cannot be told. */
  readonly components: Readonly<Record<ComponentName, GaugeComponent | null>>
  /** Gauge over total standard deviation; null where either is not known. */
  readonly gaugeShareOfSpread: StudyFigure | null
  /**
   * √2 times part over gauge standard deviation, not cut off to a whole number: how many groups of parts the gauge can
   * tell apart. Null where either is not known or the gauge shows no scatter.
   */
  readonly categories: StudyFigure | null
  readonly confidence: number
  /** Empty where everything can be said. */
  readonly shortfalls: readonly Shortfall[]
}
