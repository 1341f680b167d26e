import { type MomentColumns, mergedMoments, momentColumns } from '../description/moment-columns.ts'
import { type Moments, standardDeviation } from '../description/moments.ts'
import { oneWayOfColumns } from '../variation/one-way.ts'

/**
 * How much a grouped sample tells, expressed as the independent sample that would tell as much. Parts of one
 * build share its fate: a thousand parts of ten builds say little more about the process mean than ten numbers.
 */
export interface EffectiveSample {
  readonly n: number
  readonly mean: number
  /** Standard deviation of all values, divisor n − 1, in their unit. */
  readonly sigma: number
  /** Independent values whose mean would be as sure. */
  readonly nEffective: number
  /** Degrees of freedom whose standard deviation would be as sure. */
  readonly df: number
}

/**
 * Overall mean and standard deviation of grouped values with the sizes that their uncertainty goes by.
 *
 * With mean squares MB between and MW within k groups and n₀ the effective group size, the overall variance is
 * close to MB/n₀ + MW (1 − 1/n₀), whose degrees of freedom follow from Satterthwaite's approximation
 * (Biometrics Bulletin 2 (1946), 110–114), and the variance of the grand mean is MB/n. Neither may exceed what
 * independent values would give.
 *
 * @param groups moments of the values of each build, in one unit
 * @returns null without two values or without any spread
 */
export function effectiveSample(groups: readonly Moments[]): EffectiveSample | null {
  return effectiveSampleOfColumns(momentColumns(groups))
}

/** As `effectiveSample`. */
export function effectiveSampleOfColumns(groups: MomentColumns): EffectiveSample | null {
  const all = mergedMoments(groups)
  if (all === null) return null
  const sigma = standardDeviation(all)
  if (sigma === null || sigma === 0) return null
  const { n, mean } = all
  const independent = { n, mean, sigma, nEffective: n, df: n - 1 }
  const analysis = oneWayOfColumns(groups)
  if (analysis === null || analysis.msBetween <= analysis.msWithin) return independent

  const { msBetween, msWithin, dfBetween, dfWithin } = analysis
  let squaredSizes = 0
  for (const size of groups.n) squaredSizes += size * size
  const size = (n - squaredSizes / n) / dfBetween
  const between = msBetween / size
  const within = msWithin * (1 - 1 / size)
  const df = (between + within) ** 2 / (between ** 2 / dfBetween + within ** 2 / dfWithin)
  return {
    n,
    mean,
    sigma,
    nEffective: Math.min(n, (sigma ** 2 * n) / msBetween),
    df: Math.min(n - 1, df),
  }
}
