import { generateShop } from '../../../sample-data/generate-shop.ts'
import { AXES, SHRINKAGE } from '../../../sample-data/physics.ts'
import { PLANTED_IDS } from '../../../sample-data/planted.ts'
import { Random } from '../../../sample-data/random.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { DEFAULT_ADJUSTMENT, relativeNoise } from '../../../src/shrinkage/adjustment.ts'
import { offsetEffect } from '../../../src/shrinkage/aim.ts'
import type { Estimate } from '../../../src/shrinkage/estimate.ts'
import { fitShrinkage, type ShrinkageFit } from '../../../src/shrinkage/fit.ts'
import { type Replay, replay } from '../../../src/shrinkage/replay.ts'
import { neededFactorSeries } from '../../../src/shrinkage/series.ts'
import { shopData } from './shop-data.ts'

/** Mean bleed of the sample shop, both faces, mm green (sample-data/physics.ts). */
const BLEED = 0.006

/** How often intervals held the truth. */
export class Coverage {
  readonly counts = new Map<string, { held: number; of: number }>()

  add(name: string, estimate: Estimate, truth: number): void {
    const count = this.counts.get(name) ?? { held: 0, of: 0 }
    this.counts.set(name, count)
    count.of++
    if (estimate.lower <= truth && truth <= estimate.upper) count.held++
  }

  percent(name: string): number {
    const count = this.counts.get(name)
    return count === undefined ? Number.NaN : (100 * count.held) / count.of
  }
}

/** One axis of one shop without planted causes: the factors that its builds needed, as fitted. */
export interface FittedHistory {
  readonly axis: Axis
  readonly needed: Float64Array
  readonly noise: Float64Array
  /** The factor that the shop's process needs on average: known from the generator. */
  readonly right: number
}

/** Fits a shop without planted causes, counts its intervals, and gives its histories. */
export function fitKnownShop(seed: number, coverage: Coverage): FittedHistory[] {
  const shop = generateShop(seed, { leaveOut: PLANTED_IDS })
  const data = shopData(shop)
  const fit = fitShrinkage(data)
  // Trays differ lastingly: what they do on average belongs to the shop.
  const tray = shop.truth.trays.reduce((sum, { change }) => sum + change, 0) / shop.truth.trays.length
  for (const axis of AXES) {
    const kept = (1 - SHRINKAGE[axis]) * (1 + tray)
    count(coverage, 'overall', fit.overall[axis], 1 - kept, BLEED * kept)
    for (const build of fit.perBuild) {
      const truth = shop.truth.builds[build.position]
      if (truth === undefined) throw new Error(`build ${build.id} has no truth`)
      const shrinkage = truth.shrinkage[axis]
      count(coverage, 'build', build.axes[axis], shrinkage, truth.bleed * (1 - shrinkage))
    }
  }
  return AXES.map((axis) => history(fit, axis))
}

function count(
  coverage: Coverage,
  of: string,
  estimate: ShrinkageFit['overall'][Axis],
  shrinkage: number,
  offset: number,
): void {
  if (estimate === null || estimate.offset === null) throw new Error('not fitted')
  coverage.add(`shrinkage, ${of}`, estimate.shrinkage, shrinkage)
  coverage.add(`offset, ${of}`, estimate.offset, offset)
}

function history(fit: ShrinkageFit, axis: Axis): FittedHistory {
  const series = neededFactorSeries(fit, axis)
  const kept = 1 - SHRINKAGE[axis]
  return {
    axis,
    needed: series.values,
    noise: relativeNoise(fit, axis, series),
    right: (1 - offsetEffect(fit.terms, axis) * BLEED * kept) / kept,
  }
}

/** Histories laid end to end: each differs from its right factor as before, around the first one's. */
function joined(histories: readonly FittedHistory[]): FittedHistory {
  const [first] = histories
  if (first === undefined) throw new Error('no histories')
  return {
    axis: first.axis,
    right: first.right,
    needed: Float64Array.from(
      histories.flatMap(({ needed, right }) => Array.from(needed, (h) => (h / right) * first.right)),
    ),
    noise: Float64Array.from(histories.flatMap(({ noise }) => [...noise])),
  }
}

/** Standard deviation of the factor needed from build to build in the sample shop, about. */
const BUILD_SIGMA = 0.0005

/** The history with its level stepping at random from build to build, by `fraction` of a build's own scatter. */
function drifting(of: FittedHistory, fraction: number, seed: number): FittedHistory {
  const random = Random.stream(seed, 'drift')
  let level = 0
  return {
    ...of,
    needed: of.needed.map((h) => {
      level += fraction * BUILD_SIGMA * random.normal()
      return h + level
    }),
  }
}

/** Weights of which one comes close to the best for any random drift. */
const WEIGHTS = [0.02, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6, 0.7, 0.85, 1]
const DELAY = 1

/** Mean squares of rules over many histories. */
export interface ComparedRules {
  readonly advised: number
  readonly everyBuild: number
  readonly leftAlone: number
  /**
   * The best possible: an exponentially weighted average corrected on every build without a deadband, which is the
   * minimum mean square error forecast of such a drift (Box and Luceño 1997), its weight chosen in hindsight.
   */
  readonly best: number
  /** Changes of factor by the advice, on average in a history. */
  readonly changes: number
  /** Histories in which the advice changed the factor at all. */
  readonly changed: number
}

/**
 * @param shops each with its axes, which the advice takes together
 * @param counted whether an axis, by its place in the shop, enters the mean squares
 */
export function compareRules(
  shops: readonly (readonly FittedHistory[])[],
  counted: (axis: number) => boolean = () => true,
): ComparedRules {
  const sums = { advised: 0, everyBuild: 0, leftAlone: 0, changes: 0, changed: 0 }
  const byWeight = WEIGHTS.map(() => 0)
  let n = 0
  for (const axes of shops) {
    const played = replay(
      axes.map(({ needed, noise, right }) => ({
        positions: needed.map((_, i) => i),
        needed,
        noise,
        printed: needed.map(() => right),
      })),
      DEFAULT_ADJUSTMENT,
      DELAY,
    )
    for (const [a, { needed, right }] of axes.entries()) {
      if (!counted(a)) continue
      const { advised, everyBuild, leftAlone, from } = played[a] as Replay
      n++
      sums.advised += advised.meanSquare
      sums.everyBuild += everyBuild.meanSquare
      sums.leftAlone += leftAlone.meanSquare
      sums.changes += advised.changes
      if (advised.changes > 0) sums.changed++
      for (const [w, weight] of WEIGHTS.entries())
        byWeight[w] = (byWeight[w] as number) + weighted(needed, weight, right, from)
    }
  }
  return {
    advised: sums.advised / n,
    everyBuild: sums.everyBuild / n,
    leftAlone: sums.leftAlone / n,
    best: Math.min(...byWeight) / n,
    changes: sums.changes / n,
    changed: sums.changed,
  }
}

/** Shops laid end to end by threes: 180 builds in place of 60. */
export function joinedByThree(shops: readonly (readonly FittedHistory[])[]): FittedHistory[][] {
  return Array.from({ length: Math.floor(shops.length / 3) }, (_, i) =>
    AXES.map((_axis, a) => joined(shops.slice(3 * i, 3 * i + 3).map((axes) => axes[a] as FittedHistory))),
  )
}

/** The shops with levels that step at random, of all axes or of the first alone, each by its own chance. */
export function driftingShops(
  shops: readonly (readonly FittedHistory[])[],
  fraction: number,
  firstAlone = false,
): FittedHistory[][] {
  return shops.map((axes, i) =>
    axes.map((history, a) => (firstAlone && a > 0 ? history : drifting(history, fraction, 3 * i + a))),
  )
}

function weighted(needed: Float64Array, weight: number, start: number, from: number): number {
  let level = start
  let squares = 0
  for (const [i, h] of needed.entries()) {
    const seen = i - 1 - DELAY
    // The first builds count alike until the weight is reached.
    if (seen >= 0) level += Math.max(weight, 1 / (seen + 1)) * ((needed[seen] as number) - level)
    if (i >= from) squares += (level / h - 1) ** 2
  }
  return squares / (needed.length - from)
}
