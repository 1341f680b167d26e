import { ArgumentError } from '../errors.ts'
import { gammaHalfStepRatio } from '../numbers/stirling.ts'

/**
 * c4(n) = √(2 / (n − 1)) Γ(n / 2) / Γ((n − 1) / 2): the expected sample standard deviation of n normal values over
 * the true one. Full double precision for any n, also in the tens of millions.
 *
 * @param n sample size; any real number above 1, so that c4(ν + 1) unbiases an estimate with ν degrees of freedom
 * @throws ArgumentError where n is not a finite number above 1
 */
export function c4(n: number): number {
  const known = remembered[n]
  if (known !== undefined && known > 0) return known
  if (!(n > 1 && n < Number.POSITIVE_INFINITY)) {
    throw new ArgumentError('n', `must be a finite number above 1, not ${n}`)
  }
  const value = gammaHalfStepRatio((n - 1) / 2)
  if (Number.isInteger(n) && n < remembered.length) remembered[n] = value
  return value
}

/** Values for the sizes of subgroups that occur, 0 where not asked for yet: charts ask for them at every point. */
const remembered = new Float64Array(1025)
