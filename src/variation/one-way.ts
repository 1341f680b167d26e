import { type MomentColumns, momentColumns } from '../description/moment-columns.ts'
import type { Moments } from '../description/moments.ts'
import { fUpper } from '../distributions/f.ts'
import { ArgumentError } from '../errors.ts'

/** One-way analysis of variance: do the means of groups differ by more than the scatter inside them explains? */
export interface OneWayAnalysis {
  /** Mean square between over mean square within; infinite where nothing scatters inside groups. */
  readonly f: number
  readonly dfBetween: number
  readonly dfWithin: number
  /** In squared units of the values. */
  readonly msBetween: number
  /** In squared units of the values. */
  readonly msWithin: number
  /** Probability of an F as large or larger when all groups have one mean. */
  readonly p: number
}

/**
 * One-way analysis of variance from the moments of the groups, of any sizes.
 *
 * Means are first shifted by the first of them, an exact subtraction for means that lie close together, and the
 * sum of squares between is corrected for what rounding left in the grand mean. What remains is the rounding of
 * each group's mean to a double: groups that differ by d around a value M lose about log10(M / d) of 16 digits.
 *
 * Source: H. Scheffé, The Analysis of Variance (1959), section 3.1.
 *
 * @param groups moments of k groups, all in one unit
 * @returns null where no F exists: fewer than two groups, no group of two values, or no value differs from
 *   any other
 * @throws ArgumentError where a group has no values or moments that are not finite
 */
export function oneWayAnalysis(groups: readonly Moments[]): OneWayAnalysis | null {
  return oneWayOfColumns(momentColumns(groups))
}

/** As `oneWayAnalysis`. */
export function oneWayOfColumns(groups: MomentColumns): OneWayAnalysis | null {
  const { length, n: size, mean, m2 } = groups
  let n = 0
  let ssWithin = 0
  let sum = 0
  const origin = length === 0 ? 0 : (mean[0] as number)
  for (let i = 0; i < length; i++) {
    if (!((size[i] as number) >= 1 && Number.isFinite(mean[i]) && Number.isFinite(m2[i]))) {
      throw new ArgumentError('groups', `group ${i + 1} of ${length} has no usable moments`)
    }
    n += size[i] as number
    ssWithin += m2[i] as number
    sum += (size[i] as number) * ((mean[i] as number) - origin)
  }
  const dfBetween = length - 1
  const dfWithin = n - length
  if (dfBetween < 1 || dfWithin < 1) return null

  const grand = sum / n
  let squares = 0
  let residual = 0
  for (let i = 0; i < length; i++) {
    const deviation = (mean[i] as number) - origin - grand
    squares += (size[i] as number) * deviation * deviation
    residual += (size[i] as number) * deviation
  }
  const msBetween = Math.max(0, squares - (residual * residual) / n) / dfBetween
  const msWithin = ssWithin / dfWithin
  if (msBetween === 0 && msWithin === 0) return null
  const f = msBetween / msWithin
  const p = f === Number.POSITIVE_INFINITY ? 0 : fUpper(f, dfBetween, dfWithin)
  return { f, dfBetween, dfWithin, msBetween, msWithin, p }
}
