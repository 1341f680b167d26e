import { ArgumentError } from '../errors.ts'

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
  /** Probability that the level drifts: that the weight is 0.05 or more. */
  readonly driftProbability: number
  readonly builds: number
}

/** Weights that are weighed up against each other; those below 0.05 count as no drift. */
const WEIGHTS = [0, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.55, 0.7, 0.9] as const
const DRIFT_FROM = 0.05
/** Before anything is seen, a level that stands still is as likely as one that moves at all. */
const STANDS_STILL = 0.5

/** One filter of the bank. Variances in units of the builds' own variance, which is found along the way. */
interface Filter {
  readonly prior: number
  readonly step: number
  level: number
  variance: number
  logDeterminant: number
  squares: number
}

/**
 * Exponentially weighted level of a series of builds, the weight being found from the series itself.
 *
 * The model is a level that steps at random from build to build and builds that scatter around it, for which the
 * exponentially weighted average is the best forecast. One filter runs for each of eleven weights; they are averaged by
 * how likely they make the record, so that a record too short to tell gets a cautious level.
 *
 * Sources: J. F. Muth, Optimal properties of exponentially weighted forecasts, Journal of the American Statistical
 * Association 55 (1960), 299–306; A. C. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter
 * (1989), sections 3.2 and 4.3; G. Box and A. Luceño, Statistical Control by Monitoring and Feedback Adjustment (1997).
 */
export class LevelTracker {
  private count = 0
  private readonly filters: Filter[] = WEIGHTS.map((w, i) => ({
    prior: i === 0 ? STANDS_STILL : (1 - STANDS_STILL) / (WEIGHTS.length - 1),
    step: (w * w) / (1 - w),
    level: 0,
    variance: 0,
    logDeterminant: 0,
    squares: 0,
  }))

  /**
   * Takes in the next build.
   * @param noise its variance around the level, relative to that of a usual build
   */
  add(value: number, noise: number): void {
    if (!Number.isFinite(value)) throw new ArgumentError('value', `${value} is not finite`)
    if (!(noise > 0)) throw new ArgumentError('noise', `${noise} is not above 0`)
    for (const f of this.filters) {
      if (this.count === 0) {
        f.level = value
        f.variance = noise
        continue
      }
      const before = f.variance + f.step
      const total = before + noise
      const error = value - f.level
      f.logDeterminant += Math.log(total)
      f.squares += (error * error) / total
      f.level += (before / total) * error
      f.variance = (before * noise) / total
    }
    this.count++
  }

  /** Null before three builds or where all are the same. */
  level(): Level | null {
    const { filters, count } = this
    const steps = count - 1
    if (steps < 2 || filters.some((f) => !(f.squares > 0))) return null
    const logs = filters.map(
      (f) => Math.log(f.prior) - f.logDeterminant / 2 - (steps / 2) * Math.log(f.squares),
    )
    const most = Math.max(...logs)
    const odds = logs.map((l) => Math.exp(l - most))
    const total = odds.reduce((sum, o) => sum + o, 0)
    let value = 0
    let sigmaSquared = 0
    let stepVariance = 0
    let weight = 0
    let driftProbability = 0
    for (const [i, f] of filters.entries()) {
      const p = (odds[i] as number) / total
      const own = f.squares / steps
      value += p * (f.level - (filters[0] as Filter).level)
      sigmaSquared += p * own
      stepVariance += p * own * f.step
      weight += p * (WEIGHTS[i] as number)
      if ((WEIGHTS[i] as number) >= DRIFT_FROM) driftProbability += p
    }
    value += (filters[0] as Filter).level
    let variance = 0
    for (const [i, f] of filters.entries()) {
      const p = (odds[i] as number) / total
      variance += p * ((f.variance * f.squares) / steps + (f.level - value) ** 2)
    }
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
