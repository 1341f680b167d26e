import { ArgumentError } from '../errors.ts'
import { type AdjustmentSettings, checkSettings, deadband } from './adjustment.ts'
import { limitedStep } from './advice.ts'
import { LevelTracker } from './level.ts'

/** A history of builds along one axis, to be played again under other rules for the scale factor. */
export interface FactorHistory {
  /** For each build the factor that would have put it on nominal. */
  readonly needed: ArrayLike<number>
  /** Variance of each around its level, relative to that of a usual build (see `relativeNoise`). */
  readonly noise: ArrayLike<number>
  /** The factors that the builds were printed with. */
  readonly printed: ArrayLike<number>
}

/** What one rule would have made of the history. */
export interface ReplayedRule {
  /** Factor of each build. */
  readonly factors: Float64Array
  /** Relative deviation from nominal of each build. */
  readonly deviations: Float64Array
  /** Mean square of the deviations from build `Replay.from` on. */
  readonly meanSquare: number
  readonly changes: number
}

export interface Replay {
  /** First build that the rules could differ in. */
  readonly from: number
  /** The record. */
  readonly asPrinted: ReplayedRule
  /** The first factor kept throughout. */
  readonly leftAlone: ReplayedRule
  /** Each measured build's deviation taken back in full in the next one printed: tampering. */
  readonly everyBuild: ReplayedRule
  /** As `advise` would have had it, every signal having been explained at once. */
  readonly advised: ReplayedRule
}

/**
 * The same builds printed again, on paper, under four rules. What a build needed does not depend on the factor that it
 * got, so that each rule's deviations are exact for this history.
 *
 * Taking back each deviation in full doubles the variance of a process that stands still: rule 2 of the funnel, W. E.
 * Deming, Out of the Crisis (1986), chapter 11.
 *
 * @param delay builds already printed when a build's measurements arrive; 0 if the next one can still be changed
 * @throws ArgumentError where lengths differ, the delay is not a whole number from 0, or a setting is out of range
 */
export function replay(
  { needed, noise, printed }: FactorHistory,
  settings: AdjustmentSettings,
  delay = 1,
): Replay {
  checkSettings(settings)
  const n = needed.length
  if (noise.length !== n || printed.length !== n)
    throw new ArgumentError('printed', `${n} builds, ${noise.length} variances, ${printed.length} factors`)
  if (!(Number.isInteger(delay) && delay >= 0))
    throw new ArgumentError('delay', `${delay} is not a whole number from 0`)

  const from = Math.min(n, settings.leastBuilds + delay)
  const tracker = new LevelTracker()
  const advised = Float64Array.from(printed)
  const everyBuild = Float64Array.from(printed)
  const leftAlone = Float64Array.from(
    printed,
    (_, i) => printed[Math.max(0, Math.min(i, from - 1))] as number,
  )
  for (let measured = 0; measured < n - 1 - delay; measured++) {
    tracker.add(needed[measured] as number, noise[measured] as number)
    const next = measured + 1 + delay
    if (next < from) continue
    everyBuild[next] = needed[measured] as number
    const before = advised[next - 1] as number
    const level = tracker.level()
    const off = level !== null && Math.abs(before - level.value) >= deadband(level, settings.changeCost)
    advised[next] = off ? limitedStep(before, level.value, settings.largestStep) : before
  }
  const rule = (factors: Float64Array): ReplayedRule => {
    const deviations = factors.map((factor, i) => factor / (needed[i] as number) - 1)
    let squares = 0
    let changes = 0
    for (let i = from; i < n; i++) {
      squares += (deviations[i] as number) ** 2
      if (factors[i] !== factors[i - 1]) changes++
    }
    return { factors, deviations, meanSquare: squares / (n - from), changes }
  }
  return {
    from,
    asPrinted: rule(Float64Array.from(printed)),
    leftAlone: rule(leftAlone),
    everyBuild: rule(everyBuild),
    advised: rule(advised),
  }
}
