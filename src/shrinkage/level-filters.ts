import { ArgumentError } from '../errors.ts'

/** Weights of the newest build that are weighed up against each other; 0 is a level that stands still. */
export const WEIGHTS = [0, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.55, 0.7, 0.9] as const

/** Whether anything is wrong at all is judged apart (see `FactorEvidence`); a level that is asked for mostly moves. */
const STANDS_STILL = 0.2
const MOVING = WEIGHTS.map((w) => w * (1 - w) ** 2)
const ALL_MOVING = MOVING.reduce((sum, p) => sum + p, 0)

/**
 * How likely each weight is before anything is seen: where a level moves, in proportion to w (1 − w)². Steps from build
 * to build are most often smaller than the scatter of single builds, and a level that follows the newest build alone is
 * rare.
 */
export const WEIGHT_PRIORS: readonly number[] = MOVING.map((p, i) =>
  i === 0 ? STANDS_STILL : ((1 - STANDS_STILL) * p) / ALL_MOVING,
)

/** Where a level may start: a normal distribution, its variance in units of the builds' own. */
export interface LevelStart {
  readonly mean: number
  readonly variance: number
}

/** One filter of the bank. Variances in units of the builds' own variance, which is found along the way. */
export interface LevelFilter {
  readonly weight: number
  /** Variance of the level's step. */
  readonly step: number
  level: number
  variance: number
  logDeterminant: number
  squares: number
}

/**
 * Kalman filters of a level that steps at random from build to build, one for each weight that the newest build may have
 * in the exponentially weighted level once that has settled.
 *
 * Sources: J. F. Muth, Optimal properties of exponentially weighted forecasts, Journal of the American Statistical
 * Association 55 (1960), 299–306; A. C. Harvey, Forecasting, Structural Time Series Models and the Kalman Filter
 * (1989), sections 3.2 and 4.3.
 */
export class LevelFilters {
  /** Builds that tell of scatter: with a start that is not known, the first build only sets it. */
  told = 0
  private begun: boolean
  readonly filters: readonly LevelFilter[]

  /** @param start null where nothing is known of it */
  constructor(weights: readonly number[], start: LevelStart | null) {
    this.begun = start !== null
    this.filters = weights.map((w) => ({
      weight: w,
      step: (w * w) / (1 - w),
      level: start?.mean ?? 0,
      variance: start?.variance ?? 0,
      logDeterminant: 0,
      squares: 0,
    }))
  }

  /**
   * Takes in the next build.
   * @param noise its variance around the level, relative to that of a usual build
   */
  add(value: number, noise: number): void {
    if (!Number.isFinite(value)) throw new ArgumentError('value', `${value} is not finite`)
    if (!(noise > 0)) throw new ArgumentError('noise', `${noise} is not above 0`)
    if (!this.begun) {
      for (const f of this.filters) {
        f.level = value
        f.variance = noise
      }
      this.begun = true
      return
    }
    for (const f of this.filters) {
      const before = f.variance + f.step
      const total = before + noise
      const error = value - f.level
      f.logDeterminant += Math.log(total)
      f.squares += (error * error) / total
      f.level += (before / total) * error
      f.variance = (before * noise) / total
    }
    this.told++
  }

  /** By filter, the logarithm of how likely the record is, but for a constant; the builds' own variance averaged out. */
  logLikelihoods(): number[] {
    return this.filters.map((f) => -f.logDeterminant / 2 - (this.told / 2) * Math.log(f.squares))
  }
}

/** Probabilities in proportion to prior times likelihood, and the logarithm of their sum. */
export function posterior(
  logLikelihoods: readonly number[],
  priors: readonly number[],
): { readonly probabilities: number[]; readonly logSum: number } {
  const logs = logLikelihoods.map((l, i) => l + Math.log(priors[i] as number))
  const most = Math.max(...logs)
  const odds = logs.map((l) => Math.exp(l - most))
  const total = odds.reduce((sum, o) => sum + o, 0)
  return { probabilities: odds.map((o) => o / total), logSum: most + Math.log(total) }
}
