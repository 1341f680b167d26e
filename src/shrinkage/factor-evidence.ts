import { LevelFilters, posterior, WEIGHT_PRIORS, WEIGHTS } from './level-filters.ts'

/** Where the level of a factor that does not fit started, around the factor in use, in standard deviations of builds. */
const START_SPREAD = 1

/** Before anything is seen, all factors fit with this probability, or none does with that. */
const ALL_FIT = 0.5
const NONE_FITS = 0.44

/**
 * What a record says about whether the factor in use still fits: how much more likely it is if the level of what builds
 * need drifts, or stands elsewhere, than if builds scatter around the factor in use and nothing moves.
 *
 * Without drift the ratio is a martingale of mean 1, so that it ever exceeds r with a probability of 1/r at most,
 * however often one looks (J. Ville, Étude critique de la notion de collectif (1939)); looking again after each build
 * does not add up to false alarms.
 */
export class FactorEvidence {
  private readonly values: number[] = []
  private readonly noises: number[] = []
  private inUse: number
  private bank: LevelFilters
  private squares = 0
  private logNoise = 0

  /** @param factor in use */
  constructor(factor: number) {
    this.inUse = factor
    this.bank = startedAt(factor)
  }

  /**
   * @param needed factor that the next build needed
   * @param noise its variance, relative to that of a usual build
   */
  add(needed: number, noise: number): void {
    this.values.push(needed)
    this.noises.push(noise)
    this.take(needed, noise)
  }

  /** Judges the whole record by another factor. */
  changeTo(factor: number): void {
    if (factor === this.inUse) return
    this.inUse = factor
    this.bank = startedAt(factor)
    this.squares = 0
    this.logNoise = 0
    for (const [i, value] of this.values.entries()) this.take(value, this.noises[i] as number)
  }

  private take(needed: number, noise: number): void {
    this.bank.add(needed, noise)
    this.squares += (needed - this.inUse) ** 2 / noise
    this.logNoise += Math.log(noise)
  }

  /** Logarithm of the likelihood ratio, not fitting over fitting; 0 while nothing tells. */
  logRatio(): number {
    const n = this.values.length
    if (n < 2 || !(this.squares > 0) || this.bank.filters.some((f) => !(f.squares > 0))) return 0
    const fits = -this.logNoise / 2 - (n / 2) * Math.log(this.squares)
    return posterior(this.bank.logLikelihoods(), WEIGHT_PRIORS).logSum - fits
  }
}

function startedAt(factor: number): LevelFilters {
  return new LevelFilters(WEIGHTS, { mean: factor, variance: START_SPREAD ** 2 })
}

/**
 * Odds that each axis's factor does not fit, all axes taken together: powder, density and furnace reach all axes, so
 * that where one drifts the others mostly do, and what one shows counts for the others. Half of all belief is that all
 * factors fit, most of the rest that none does; the little left is spread over all other cases.
 *
 * @param logRatios by axis (see `FactorEvidence`)
 */
export function oddsOfMisfit(logRatios: readonly number[]): number[] {
  const count = logRatios.length
  const cases = 2 ** count
  const others = cases - 2
  const logs = Array.from({ length: cases }, (_, set) => {
    const prior =
      others === 0
        ? 0.5
        : set === 0
          ? ALL_FIT
          : set === cases - 1
            ? NONE_FITS
            : (1 - ALL_FIT - NONE_FITS) / others
    return logRatios.reduce((sum, ratio, i) => sum + ((set >> i) & 1 ? ratio : 0), Math.log(prior))
  })
  const most = Math.max(...logs)
  return logRatios.map((_, i) => {
    let off = 0
    let fits = 0
    for (const [set, log] of logs.entries()) {
      if ((set >> i) & 1) off += Math.exp(log - most)
      else fits += Math.exp(log - most)
    }
    return off / fits
  })
}
