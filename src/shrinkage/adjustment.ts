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
   * What a change costs and risks, counted in builds that are off by one standard deviation of builds: 0.04 is one
   * build that is off by a fifth of it (0.2²). A new factor costs little where it is one number in the print job;
   * where a change has to be released or proven with a trial build, set more.
   */
  readonly changeCost: number
  /** A factor is changed by no more than this in one step. */
  readonly largestStep: number
}

export const DEFAULT_ADJUSTMENT: AdjustmentSettings = {
  leastBuilds: 25,
  changeCost: 0.04,
  largestStep: 0.003,
}

/** @throws ArgumentError where a setting is out of range */
export function checkSettings({ leastBuilds, changeCost, largestStep }: AdjustmentSettings): void {
  if (!(leastBuilds >= 3)) throw new ArgumentError('leastBuilds', `${leastBuilds} is not 3 or more`)
  if (!(changeCost >= 0)) throw new ArgumentError('changeCost', `${changeCost} is below 0`)
  if (!(largestStep > 0)) throw new ArgumentError('largestStep', `${largestStep} is not above 0`)
}

/** Drift counts as shown from this probability on. */
const DRIFT_SHOWN = 0.95
/**
 * Until drift is shown, a level has to be off by 0.9 standard deviations of builds and two standard errors. With
 * these, at most one in twenty histories of sixty builds without drift brings any change on any of three axes
 * (simulated: tests/reference/shrinkage).
 */
const STANDING_SIGMAS = 0.9
const STANDING_ERRORS = 2
/** Where drift is shown, the level must be off by more than its own doubt is on average. */
const DRIFTING_ERRORS = 0.7

/**
 * How far the factor may be from the one needed before it is changed, in the unit of the level.
 *
 * Of a level that steps by variance v from build to build and is put right whenever it is off by L, the mean square is
 * L²/6 and a change comes every L²/v builds. The cost L²/6 + C v / L² is least at L⁴ = 6 C v; C is the cost of a change
 * in squared units. That is the bounded adjustment of G. Box and A. Luceño, Statistical Control by Monitoring and
 * Feedback Adjustment (1997), in its limit for small steps.
 */
export function deadband(level: Level, changeCost: number): number {
  if (level.driftProbability < DRIFT_SHOWN) {
    return Math.max(STANDING_SIGMAS * level.sigma, STANDING_ERRORS * level.standardError)
  }
  const best = (6 * changeCost * level.sigma ** 2 * level.stepVariance) ** 0.25
  return Math.max(best, DRIFTING_ERRORS * level.standardError)
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

/** Level of the factor needed along an axis after the latest build; null where too few builds tell of it. */
export function neededFactorLevel(fit: ShrinkageFit, axis: Axis): Level | null {
  const series = neededFactorSeries(fit, axis)
  const noise = relativeNoise(fit, axis, series)
  const tracker = new LevelTracker()
  for (const [i, value] of series.values.entries()) tracker.add(value, noise[i] as number)
  return tracker.level()
}
