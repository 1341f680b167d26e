import type { Axis } from '../domain/characteristic.ts'
import { ArgumentError } from '../errors.ts'
import type { ShrinkageFit } from './fit.ts'
import { type Level, LevelTracker } from './level.ts'
import { type BuildSeries, neededFactorSeries } from './series.ts'

/** What a shop decides about changing scale factors. */
export interface AdjustmentSettings {
  /** No factor is changed before so many builds are measured: fewer do not tell drift from chance. */
  readonly leastBuilds: number
  /**
   * What a change costs, counted in builds that are off by one standard deviation of builds: 0.04 is one build that is
   * off by a fifth of it (0.2²). A new factor costs little where it is one number in the print job; where a change has
   * to be released or proven with a trial build, set more.
   */
  readonly changeCost: number
  /** What it costs, counted alike, to change a factor that did fit: with 1, once in twenty shops at most. */
  readonly needlessCost: number
  /** A factor is changed by no more than this in one step. */
  readonly largestStep: number
  /** Weight of the newest build in the level that is followed, 0 to below 1; null to find it from the record. */
  readonly newestWeight: number | null
}

export const DEFAULT_ADJUSTMENT: AdjustmentSettings = {
  leastBuilds: 25,
  changeCost: 0.04,
  needlessCost: 1,
  largestStep: 0.003,
  newestWeight: null,
}

/** @throws ArgumentError where a setting is out of range */
export function checkSettings(settings: AdjustmentSettings): void {
  const { leastBuilds, changeCost, needlessCost, largestStep, newestWeight } = settings
  if (!(leastBuilds >= 3)) throw new ArgumentError('leastBuilds', `${leastBuilds} is not 3 or more`)
  if (!(changeCost >= 0)) throw new ArgumentError('changeCost', `${changeCost} is below 0`)
  if (!(needlessCost >= 0)) throw new ArgumentError('needlessCost', `${needlessCost} is below 0`)
  if (!(largestStep > 0)) throw new ArgumentError('largestStep', `${largestStep} is not above 0`)
  if (newestWeight !== null && !(newestWeight >= 0 && newestWeight < 1))
    throw new ArgumentError('newestWeight', `${newestWeight} is not from 0 to below 1`)
}

/**
 * How far the factor may be from the one needed before it is changed, in the unit of the level. Decided by cost, not by
 * significance; the larger of two figures.
 *
 * What a change costs: of a level that steps by variance v from build to build and is put right whenever it is off by
 * L, the mean square is L²/6 and a change comes every L²/v builds. The cost L²/6 + C v / L² is least at L⁴ = 6 C v; C is
 * the cost of a change in squared units. That is the bounded adjustment of G. Box and A. Luceño, Statistical Control by
 * Monitoring and Feedback Adjustment (1997), in its limit for small steps.
 *
 * What a change may cost that was not needed: with odds o to one that the factor does not fit, a change by d saves d² in
 * that case and costs N σ² in the other. It pays from d² = N σ² / o on.
 *
 * @param odds that the factor in use does not fit (see `oddsOfMisfit`)
 */
export function deadband(level: Level, odds: number, settings: AdjustmentSettings): number {
  const byCost = (6 * settings.changeCost * level.sigma ** 2 * level.stepVariance) ** 0.25
  return Math.max(byCost, level.sigma * Math.sqrt(settings.needlessCost / odds))
}

/** Variance of each build around the level relative to that of a usual build: what its own error adds. */
export function relativeNoise(fit: ShrinkageFit, axis: Axis, series: BuildSeries): Float64Array {
  const variation = fit.variation[axis]
  const between =
    (((variation?.buildShrinkage ?? 0) ** 2 + (variation?.loadShrinkage ?? 0) ** 2) *
      (series.values[0] ?? 1) ** 2) /
    (1 - (fit.overall[axis]?.shrinkage.value ?? 0)) ** 2
  const variances = series.standardErrors.map((error) => between + error * error)
  const usual = variances.reduce((sum, v) => sum + v, 0) / Math.max(1, variances.length)
  return variances.map((v) => v / usual)
}

/** The factors that the builds needed along an axis, and how much each counts. */
export interface NeededFactors {
  readonly series: BuildSeries
  readonly noise: Float64Array
}

export function neededFactors(fit: ShrinkageFit, axis: Axis): NeededFactors {
  const series = neededFactorSeries(fit, axis)
  return { series, noise: relativeNoise(fit, axis, series) }
}

/**
 * Level of the factor needed along an axis after the latest build; null where too few builds tell of it.
 *
 * @param newestWeight see `AdjustmentSettings`
 */
export function neededFactorLevel(
  { series, noise }: NeededFactors,
  newestWeight: number | null = null,
): Level | null {
  const tracker = new LevelTracker(newestWeight)
  for (const [i, value] of series.values.entries()) tracker.add(value, noise[i] as number)
  return tracker.level()
}
