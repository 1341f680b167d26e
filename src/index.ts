/**
 * The statistics core: pure functions on arrays and plain records, for Node and for the browser. Every function says
 * in its own comment what it takes and gives, in which units, what it throws and where it is from.
 */

export { nearerIndexInterval, spreadIndexInterval } from './capability/confidence.ts'
export { type EffectiveSample, effectiveSample } from './capability/effective.ts'
export type { IndexEstimate } from './capability/index-estimate.ts'
export { type Limits, nearerIndex, spreadIndex } from './capability/indices.ts'
export { type IndexPair, indexPair, performance } from './capability/performance.ts'
export { profileFractionOutside, profileIndexPair } from './capability/profile-interval.ts'
export type { AppliedRequirement, IndexRequirement } from './capability/requirement.ts'
export { type Shape, shapeOf } from './capability/shape.ts'
export { type CapabilityBasis, summariseCapability, verdictOf } from './capability/summarise.ts'
export type { CapabilitySummary, Verdict } from './capability/summary.ts'
export { targetIndex, targetIndexEstimate } from './capability/target-index.ts'
export { type SupposedFigures, type Supposition, whatIf } from './capability/what-if.ts'

export { type ChangePoint, changePoint } from './change/change-point.ts'
export { type Crossing, crossing } from './change/crossing.ts'
export { type Drift, drift } from './change/drift.ts'

export { type ArrayChart, type ArrayLimits, arrayChart, SPREAD_BIT } from './charts/array-chart.ts'
export { testBetween } from './charts/between.ts'
export { changeStudy, type StudyChange, type StudyGround } from './charts/change-study.ts'
export { buildChart } from './charts/chart.ts'
export { type ChartComparison, compareCharts } from './charts/compare-charts.ts'
export { type CusumChart, type CusumSettings, cusumChart } from './charts/cusum.ts'
export { type SigmaEstimate, sigmaFromMovingRange, sigmaWithin } from './charts/estimates.ts'
export { type EwmaChart, type EwmaSettings, ewmaChart } from './charts/ewma.ts'
export { type Exclusion, includedCells } from './charts/exclusions.ts'
export { type FrozenLimits, freezeLimits, type Provenance } from './charts/frozen-limits.ts'
export { type HotellingChart, type HotellingPoint, hotellingChart } from './charts/hotelling.ts'
export type {
  BetweenTest,
  ChartForm,
  ChartModel,
  Panel,
  PanelId,
  PhaseLimits,
  Signal,
  Subgroup,
} from './charts/model.ts'
export { type PatternBreach, patternBreaches } from './charts/patterns.ts'
export type { BuildLabel } from './charts/places.ts'
export { breaches } from './charts/signals.ts'
export { type MixedSubgroup, type StandardisedChart, standardisedChart } from './charts/standardised.ts'
export { type Stretch, stretchesOf } from './charts/stretches.ts'
export {
  BASELINE_SUBGROUPS,
  type BuildSpan,
  DEFAULT_STUDY,
  type Phase,
  type StepEstimator,
  type Study,
  type WithinEstimator,
} from './charts/study.ts'
export { type MergedSubgroup, subgroupsByBuild } from './charts/subgroups.ts'
export {
  ALL_TESTS,
  isPatternTest,
  OPTIONAL_TESTS,
  type PatternTest,
  type Side,
  type SignalTest,
  type TestId,
  WESTERN_ELECTRIC,
  type ZoneTest,
} from './charts/tests.ts'

export { c4 } from './constants/c4.ts'
export { factorA2, factorA3, factorB3, factorB4, factorD3, factorD4 } from './constants/limit-factors.ts'
export { d2, d3 } from './constants/range-constants.ts'

export { type AndersonDarling, andersonDarling } from './description/anderson-darling.ts'
export { type Autocorrelation, autocorrelation } from './description/autocorrelation.ts'
export { type GaugeResolution, gaugeResolution } from './description/gauge-resolution.ts'
export {
  excessKurtosis,
  type HigherMoments,
  higherMomentsOf,
  mergeHigherMoments,
  skewness,
} from './description/higher-moments.ts'
export {
  type Moments,
  mergeMoments,
  momentsOf,
  standardDeviation,
  variance,
} from './description/moments.ts'
export { type OutlierStep, type OutlierTest, outlierTest } from './description/outliers.ts'
export { type QuantileDefinition, quantiles } from './description/quantiles.ts'
export { type ShapiroWilk, shapiroWilk } from './description/shapiro-wilk.ts'

export {
  chiSquareDensity,
  chiSquareLower,
  chiSquareQuantile,
  chiSquareUpper,
  chiSquareUpperQuantile,
} from './distributions/chi-square.ts'
export { fDensity, fLower, fQuantile, fUpper, fUpperQuantile } from './distributions/f.ts'
export {
  type FoldedNormalParameters,
  fitFoldedNormal,
  foldedNormalDensity,
  foldedNormalLower,
  foldedNormalQuantile,
  foldedNormalUpper,
  foldedNormalUpperQuantile,
} from './distributions/folded-normal.ts'
export {
  fitGamma,
  type GammaParameters,
  gammaDensity,
  gammaLower,
  gammaQuantile,
  gammaUpper,
  gammaUpperQuantile,
} from './distributions/gamma.ts'
export {
  fitJohnsonSB,
  type JohnsonSBParameters,
  johnsonSBDensity,
  johnsonSBLower,
  johnsonSBQuantile,
  johnsonSBUpper,
  johnsonSBUpperQuantile,
} from './distributions/johnson-sb.ts'
export {
  fitJohnsonSL,
  type JohnsonSLParameters,
  johnsonSLDensity,
  johnsonSLLower,
  johnsonSLQuantile,
  johnsonSLUpper,
  johnsonSLUpperQuantile,
} from './distributions/johnson-sl.ts'
export {
  fitJohnsonSU,
  type JohnsonSUParameters,
  johnsonSUDensity,
  johnsonSULower,
  johnsonSUQuantile,
  johnsonSUUpper,
  johnsonSUUpperQuantile,
} from './distributions/johnson-su.ts'
export {
  fitLognormal,
  type LognormalParameters,
  lognormalDensity,
  lognormalLower,
  lognormalQuantile,
  lognormalUpper,
  lognormalUpperQuantile,
} from './distributions/lognormal.ts'
export {
  noncentralStudentDensity,
  noncentralStudentLower,
  noncentralStudentQuantile,
  noncentralStudentUpper,
  noncentralStudentUpperQuantile,
} from './distributions/noncentral-student.ts'
export {
  normalDensity,
  normalLogUpper,
  normalLower,
  normalMillsRatio,
  normalQuantile,
  normalUpper,
  normalUpperQuantile,
  normalWithin,
} from './distributions/normal.ts'
export { normalRangeLower, normalRangeUpper } from './distributions/normal-range.ts'
export {
  fitRayleigh,
  type RayleighParameters,
  rayleighDensity,
  rayleighLower,
  rayleighQuantile,
  rayleighUpper,
  rayleighUpperQuantile,
} from './distributions/rayleigh.ts'
export type { Fit } from './distributions/sample.ts'
export {
  studentDensity,
  studentLower,
  studentQuantile,
  studentUpper,
  studentUpperQuantile,
} from './distributions/student.ts'
export {
  studentisedRangeLower,
  studentisedRangeQuantile,
  studentisedRangeUpper,
  studentisedRangeUpperQuantile,
} from './distributions/studentised-range.ts'
export {
  weibullDensity,
  weibullLower,
  weibullQuantile,
  weibullUpper,
  weibullUpperQuantile,
} from './distributions/weibull.ts'
export { fitWeibull, fitWeibullThreshold, type WeibullParameters } from './distributions/weibull-fit.ts'

export type { Build, FurnaceLoad, ScaleFactors } from './domain/build.ts'
export { type Cell, STAGES, type Stage } from './domain/cell.ts'
export {
  type Axis,
  type Characteristic,
  type CharacteristicKind,
  KINDS_WITH_FLOOR,
  OWN_TOLERANCE,
  type StatedLimits,
  type Unit,
  type WrittenUnit,
} from './domain/characteristic.ts'

export { ArgumentError, ConvergenceError } from './errors.ts'

export {
  type AverageAndRange,
  averageAndRange,
  averageRangeDivisor,
  type NoAverageAndRange,
} from './gauges/average-and-range.ts'
export {
  type BiasAt,
  type BiasStudy,
  biasStudy,
  type Linearity,
  type ReferenceReading,
} from './gauges/bias.ts'
export { type CheckOccasion, checkPartChart } from './gauges/check-part.ts'
export { type Conformity, type ConformityDecision, conformity } from './gauges/conformity.ts'
export {
  type CorrectedIndex,
  type CorrectedIndices,
  correctedIndices,
  correctForGauge,
  type GaugeCorrection,
} from './gauges/corrected-index.ts'
export { type GaugeJudgement, type GaugeVerdict, gaugeJudgement } from './gauges/gauge-judgement.ts'
export { GAUGE_STUDY_SETTINGS, type GaugeStudySettings, gaugeStudy } from './gauges/gauge-study.ts'
export { measuringSheet, type SheetLine, sheetCsv } from './gauges/measuring-sheet.ts'
export {
  type AgreementLimit,
  type MethodAgreement,
  type MethodPair,
  methodAgreement,
  type NoAgreement,
} from './gauges/method-agreement.ts'
export { type MeasuredProcess, type Misjudged, misjudged } from './gauges/misjudged.ts'
export {
  expectedHalfWidth,
  planStudy,
  STUDY_BOUNDS,
  type StudyAim,
  type StudyBounds,
  type StudyPlan,
} from './gauges/plan-study.ts'
export type { GaugeReading } from './gauges/readings.ts'
export { type StepSize, stepSize } from './gauges/resolution.ts'
export { type StandOut, standOuts } from './gauges/stand-out.ts'
export type { Estimate } from './gauges/straight-line.ts'
export type {
  AnalysisLine,
  ComponentName,
  GaugeComponent,
  GaugeStudy,
  Shortfall,
  StudyFigure,
  StudyLayout,
  StudyMethod,
} from './gauges/study-model.ts'
export {
  fromCertificate,
  fromHalfWidth,
  fromResolution,
  fromScatter,
  type MeasurementUncertainty,
  measurementUncertainty,
  type UncertaintySource,
} from './gauges/uncertainty.ts'

export { addDecimals, divideDecimals, multiplyDecimals, negateDecimal } from './numbers/decimal.ts'

export { runLengthOfAny } from './run-length/any-run-length.ts'
export { cusumInterval, cusumRunLength } from './run-length/cusum-run-length.ts'
export { ewmaMultiplier, ewmaRunLength } from './run-length/ewma-run-length.ts'
export type { RunPattern, RunTest } from './run-length/run-test.ts'
export type { StepPattern } from './run-length/step-memory.ts'
export { testsMultiplier } from './run-length/tests-multiplier.ts'
export {
  type RunLength,
  runLengthDistribution,
  runLengthOfTests,
  runLengthQuantile,
} from './run-length/tests-run-length.ts'

export { howeFactor, oneSidedToleranceFactor, twoSidedToleranceFactor } from './tolerance/tolerance-factor.ts'
export {
  type ToleranceInterval,
  type ToleranceSides,
  toleranceInterval,
} from './tolerance/tolerance-interval.ts'

export {
  type NestedComponents,
  nestedComponents,
  type VarianceComponent,
} from './variation/nested-components.ts'
export { type OneWayAnalysis, oneWayAnalysis } from './variation/one-way.ts'
