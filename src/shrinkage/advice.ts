import { normalUpperQuantile } from '../distributions/normal.ts'
import type { ScaleFactors } from '../domain/build.ts'
import type { Axis } from '../domain/characteristic.ts'
import {
  type AdjustmentSettings,
  checkSettings,
  DEFAULT_ADJUSTMENT,
  deadband,
  type NeededFactors,
  neededFactorLevel,
  neededFactors,
} from './adjustment.ts'
import { FactorEvidence, oddsOfMisfit } from './factor-evidence.ts'
import type { ShrinkageFit } from './fit.ts'
import type { Level } from './level.ts'
import { factorAt, usableFactor } from './observations.ts'
import { AXES } from './terms.ts'

export type AdviceAction = 'leave' | 'watch' | 'correct'

export type AdviceReason =
  /** Beyond the deadband, with nothing in the way. */
  | 'beyond-deadband'
  /** Off as good as surely, but by less than a change is worth. */
  | 'inside-deadband'
  /** Not surely off, nor far enough for what a change may cost. */
  | 'on-target'
  /** Beyond the deadband, but a signal stands that nobody has explained. */
  | 'unexplained-signal'
  | 'too-few-builds'
  /** The present factor is not known or cannot be one. */
  | 'no-factor'
  /** Sizes along the axis are measured, but of no build is its factor on record. */
  | 'no-factor-recorded'
  /** Sizes are measured, but none of the part number has a nominal to shrink from. */
  | 'no-nominal'
  /** Shrinkage along the axis is not fitted. */
  | 'nothing-measured'

/**
 * What to do about the scale factor of one axis. Deviations are relative: +0.001 means that parts come out 0.1 % large.
 */
export interface AxisAdvice {
  readonly axis: Axis
  readonly action: AdviceAction
  readonly reason: AdviceReason
  readonly builds: number
  /** The factor in use; null where it is not known. */
  readonly current: number | null
  /** The factor that would put the axis on nominal, with the half-width of its interval; null where not estimated. */
  readonly needed: { readonly value: number; readonly halfWidth: number } | null
  /** The factor to set; null unless the action is to correct. */
  readonly next: number | null
  /** Whether the largest step allowed keeps `next` short of `needed`. */
  readonly stepLimited: boolean
  /** What the factor in use makes of the axis now, and the half-width of its interval. */
  readonly deviation: { readonly value: number; readonly halfWidth: number } | null
  readonly deadband: number | null
  /** Probability that the factor in use still fits, by the whole record; null where it is not known. */
  readonly fits: number | null
  /** Relative standard deviation of single builds around the level, which no factor takes away. */
  readonly buildSigma: number | null
  readonly level: Level | null
}

export interface Advice {
  /** The most that any axis asks for. */
  readonly action: AdviceAction
  readonly axes: readonly AxisAdvice[]
  /** Of all half-widths, as a fraction. */
  readonly confidence: number
  readonly settings: AdjustmentSettings
}

/**
 * Whether to change the scale factors, and to what. Never before enough builds, never while a signal stands that
 * nobody has explained, and never by more than the largest step.
 *
 * @param current the factors that the next build would be printed with
 * @param unexplained axes whose charts show a signal without a finding (see `openSignals`)
 * @throws ArgumentError where a setting is out of range
 */
export function advise(
  fit: ShrinkageFit,
  current: ScaleFactors,
  unexplained: ReadonlySet<Axis>,
  settings: AdjustmentSettings = DEFAULT_ADJUSTMENT,
): Advice {
  checkSettings(settings)
  const seen = AXES.map((axis, a) => {
    const needed = fit.overall[axis] === null ? null : neededFactors(fit, axis)
    const factor = usableFactor(factorAt(current, a))
    return {
      axis,
      needed,
      factor,
      logRatio: needed === null || factor === null ? null : evidence(needed, factor),
    }
  })
  // A signal that nobody has explained may be of one axis alone, so that it does not count for the others.
  const oddsOf = (of: (typeof seen)[number]) => {
    const told = seen.filter((each) => each.logRatio !== null && (each === of || !unexplained.has(each.axis)))
    return oddsOfMisfit(told.map(({ logRatio }) => logRatio as number))[told.indexOf(of)] ?? null
  }
  const z = normalUpperQuantile((1 - fit.confidence) / 2)
  const axes = seen.map((each) =>
    adviseAxis(
      each.axis,
      each.needed === null ? null : neededFactorLevel(each.needed, settings.newestWeight),
      each.factor,
      oddsOf(each),
      unexplained.has(each.axis),
      settings,
      z,
      fit.perBuild.filter((build) => build.axes[each.axis] !== null).length,
      whyUnfitted(fit, each.axis),
    ),
  )
  const action =
    (['correct', 'watch'] as const).find((of) => axes.some((axis) => axis.action === of)) ?? 'leave'
  return { action, axes, confidence: fit.confidence, settings }
}

/** Why nothing is fitted along an axis that no build counts for. */
function whyUnfitted({ problems, overall }: ShrinkageFit, axis: Axis): AdviceReason {
  if (problems.some((each) => each.kind === 'factor-missing' && each.axis === axis))
    return 'no-factor-recorded'
  const fitted = AXES.some((each) => overall[each] !== null)
  return !fitted && problems.some(({ kind }) => kind === 'no-nominal') ? 'no-nominal' : 'nothing-measured'
}

function evidence({ series, noise }: NeededFactors, factor: number): number {
  const found = new FactorEvidence(factor)
  for (const [i, value] of series.values.entries()) found.add(value, noise[i] as number)
  return found.logRatio()
}

/** A factor counts as off as good as surely where it fits with less than this probability. */
export const HARDLY_FITS = 0.05

function adviseAxis(
  axis: Axis,
  level: Level | null,
  current: number | null,
  odds: number | null,
  signalOpen: boolean,
  settings: AdjustmentSettings,
  z: number,
  builds: number,
  unfitted: AdviceReason,
): AxisAdvice {
  const nothing = { axis, builds, current, next: null, stepLimited: false, level }
  if (level === null) {
    const reason = builds === 0 ? unfitted : 'too-few-builds'
    const unknown = { needed: null, deviation: null, deadband: null, fits: null, buildSigma: null }
    return { ...nothing, ...unknown, action: builds === 0 ? 'leave' : 'watch', reason }
  }
  const needed = { value: level.value, halfWidth: z * level.standardError }
  const known = { ...nothing, needed, buildSigma: level.sigma / level.value }
  if (current === null || odds === null)
    return { ...known, deviation: null, deadband: null, fits: null, action: 'watch', reason: 'no-factor' }

  const band = deadband(level, odds, settings)
  const off = current - level.value
  const fits = 1 / (1 + odds)
  const shown = {
    ...known,
    deviation: { value: off / level.value, halfWidth: needed.halfWidth / level.value },
    deadband: band / level.value,
    fits,
  }
  if (builds < settings.leastBuilds) return { ...shown, action: 'watch', reason: 'too-few-builds' }
  if (Math.abs(off) < band) {
    const sure = fits < HARDLY_FITS && Math.abs(off) > needed.halfWidth
    return { ...shown, action: sure ? 'watch' : 'leave', reason: sure ? 'inside-deadband' : 'on-target' }
  }
  if (signalOpen) return { ...shown, action: 'watch', reason: 'unexplained-signal' }
  const next = limitedStep(current, level.value, settings.largestStep)
  return {
    ...shown,
    action: 'correct',
    reason: 'beyond-deadband',
    next,
    stepLimited: next !== level.value,
  }
}

/** From one factor towards another, by no more than the step allowed. */
export function limitedStep(from: number, to: number, largest: number): number {
  return Math.abs(to - from) <= largest ? to : from + Math.sign(to - from) * largest
}
