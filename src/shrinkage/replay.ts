import { ArgumentError } from '../errors.ts'
import { type AdjustmentSettings, checkSettings, deadband } from './adjustment.ts'
import { limitedStep } from './advice.ts'
import { FactorEvidence, oddsOfMisfit } from './factor-evidence.ts'
import { LevelTracker } from './level.ts'

/** A history of builds along one axis, to be played again under other rules for the scale factor. */
export interface FactorHistory {
  /** Positions of the builds on the timeline, ascending: axes played together are matched by them. */
  readonly positions: ArrayLike<number>
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

/** One axis on the way through its history. */
interface Played {
  readonly history: FactorHistory
  readonly tracker: LevelTracker
  readonly evidence: FactorEvidence
  readonly advised: Float64Array
  readonly everyBuild: Float64Array
  readonly leftAlone: Float64Array
  /** Builds measured so far. */
  measured: number
}

/**
 * The same builds printed again, on paper, under four rules, all axes together since what one shows counts for the
 * others. What a build needed does not depend on the factor that it got, so that each rule's deviations are exact for
 * this history.
 *
 * Taking back each deviation in full doubles the variance of a process that stands still: rule 2 of the funnel, W. E.
 * Deming, Out of the Crisis (1986), chapter 11.
 *
 * @param delay builds already printed when a build's measurements arrive; 0 if the next one can still be changed
 * @returns by history
 * @throws ArgumentError where lengths differ, the delay is not a whole number from 0, or a setting is out of range
 */
export function replay(
  histories: readonly FactorHistory[],
  settings: AdjustmentSettings,
  delay = 1,
): Replay[] {
  checkSettings(settings)
  if (!(Number.isInteger(delay) && delay >= 0))
    throw new ArgumentError('delay', `${delay} is not a whole number from 0`)
  const played = histories.map((history) => begin(history, settings, delay))
  const timeline = [...new Set(histories.flatMap(({ positions }) => Array.from(positions)))].sort(
    (a, b) => a - b,
  )
  for (const position of timeline) {
    const measuredNow = played.filter(({ history, measured }) => history.positions[measured] === position)
    for (const axis of measuredNow) {
      const { needed, noise } = axis.history
      const [value, own] = [needed[axis.measured] as number, noise[axis.measured] as number]
      axis.tracker.add(value, own)
      axis.evidence.add(value, own)
      axis.measured++
    }
    const odds = oddsOfMisfit(played.map(({ evidence }) => evidence.logRatio()))
    for (const [i, axis] of played.entries())
      if (measuredNow.includes(axis)) setNext(axis, odds[i] as number, settings, delay)
  }
  return played.map((axis) => compared(axis, settings, delay))
}

function begin(history: FactorHistory, settings: AdjustmentSettings, delay: number): Played {
  const { needed, noise, printed, positions } = history
  const n = needed.length
  if (noise.length !== n || printed.length !== n || positions.length !== n)
    throw new ArgumentError('printed', `${n} builds, ${noise.length} variances, ${printed.length} factors`)
  const from = firstDiffering(n, settings, delay)
  const kept = printed[Math.max(0, from - 1)] as number
  return {
    history,
    tracker: new LevelTracker(settings.newestWeight),
    evidence: new FactorEvidence(kept),
    advised: Float64Array.from(printed),
    everyBuild: Float64Array.from(printed),
    leftAlone: Float64Array.from(printed, (factor, i) => (i < from ? factor : kept)),
    measured: 0,
  }
}

function firstDiffering(builds: number, { leastBuilds }: AdjustmentSettings, delay: number): number {
  return Math.min(builds, leastBuilds + delay)
}

/** The factors of the build that is printed next, now that `axis.measured` builds are measured. */
function setNext(axis: Played, odds: number, settings: AdjustmentSettings, delay: number): void {
  const { history, tracker, evidence, advised, everyBuild, measured } = axis
  const next = measured + delay
  if (next >= history.needed.length || measured < settings.leastBuilds) return
  everyBuild[next] = history.needed[measured - 1] as number
  const before = advised[next - 1] as number
  const level = tracker.level()
  const off = level !== null && Math.abs(before - level.value) >= deadband(level, odds, settings)
  const after = off ? limitedStep(before, level.value, settings.largestStep) : before
  advised[next] = after
  evidence.changeTo(after)
}

function compared(axis: Played, settings: AdjustmentSettings, delay: number): Replay {
  const { needed, printed } = axis.history
  const n = needed.length
  const from = firstDiffering(n, settings, delay)
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
    leftAlone: rule(axis.leftAlone),
    everyBuild: rule(axis.everyBuild),
    advised: rule(axis.advised),
  }
}
