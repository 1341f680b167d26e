import { ArgumentError } from '../errors.ts'
import { LevelFilters, posterior, WEIGHT_PRIORS, WEIGHTS } from './level-filters.ts'

/** Where a series stands after its latest build, and how it moves. Levels in the series' unit. */
export interface Level {
  readonly value: number
  readonly standardError: number
  /** Standard deviation of single builds around the level. */
  readonly sigma: number
  /** Variance of the level's step from build to build. */
  readonly stepVariance: number
  /** Weight of the newest build in the exponentially weighted level, once settled; 0 where the level stands still. */
  readonly weight: number
  /** Probability that the level moves at all, given this series alone. */
  readonly driftProbability: number
  readonly builds: number
}

/**
 * Exponentially weighted level of a series of builds, the weight being found from the series itself unless it is given.
 *
 * The model is a level that steps at random from build to build and builds that scatter around it, for which the
 * exponentially weighted average is the best forecast. One filter runs for each of ten weights; they are averaged by
 * how likely they make the record, so that a record too short to tell gets a cautious level.
 *
 * Source: see `LevelFilters`; G. Box and A. Luceño, Statistical Control by Monitoring and Feedback Adjustment (1997).
 */
export class LevelTracker {
  private count = 0
  private readonly bank: LevelFilters
  private readonly priors: readonly number[]

  /**
   * @param weight of the newest build, 0 to below 1; null to find it from the series
   * @throws ArgumentError where it is out of range
   */
  constructor(weight: number | null = null) {
    if (weight !== null && !(weight >= 0 && weight < 1))
      throw new ArgumentError('weight', `${weight} is not from 0 to below 1`)
    this.bank = new LevelFilters(weight === null ? WEIGHTS : [weight], null)
    this.priors = weight === null ? WEIGHT_PRIORS : [1]
  }

  /**
   * Takes in the next build.
   * @param noise its variance around the level, relative to that of a usual build
   * @throws ArgumentError where a figure is out of range
   */
  add(value: number, noise: number): void {
    this.bank.add(value, noise)
    this.count++
  }

  /** Null before three builds or where all are the same. */
  level(): Level | null {
    const { bank, count, priors } = this
    const { filters, told } = bank
    if (told < 2 || filters.some((f) => !(f.squares > 0))) return null
    const { probabilities } = posterior(bank.logLikelihoods(), priors)
    const base = filters[0]?.level as number
    let value = 0
    let sigmaSquared = 0
    let stepVariance = 0
    let weight = 0
    let driftProbability = 0
    for (const [i, f] of filters.entries()) {
      const p = probabilities[i] as number
      const own = f.squares / told
      value += p * (f.level - base)
      sigmaSquared += p * own
      stepVariance += p * own * f.step
      weight += p * f.weight
      if (f.weight > 0) driftProbability += p
    }
    value += base
    let variance = 0
    for (const [i, f] of filters.entries())
      variance += (probabilities[i] as number) * ((f.variance * f.squares) / told + (f.level - value) ** 2)
    return {
      value,
      standardError: Math.sqrt(variance),
      sigma: Math.sqrt(sigmaSquared),
      stepVariance,
      weight,
      driftProbability,
      builds: count,
    }
  }
}
