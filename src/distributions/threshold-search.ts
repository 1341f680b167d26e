import { findRoot } from '../numbers/brent.ts'

/**
 * The threshold below the least value at which a profile log-likelihood has its greatest local maximum; null where
 * it has none.
 *
 * The likelihood of a distribution with a threshold grows without bound as the threshold reaches the least
 * value, so the local maximum away from it is the estimate (R. L. Smith, Biometrika 72 (1985), 67–90). The score is
 * followed over ln(least − threshold), from 1e-4 to 1e4 times the range of the values, and each change of sign that
 * marks a maximum is refined by Brent's method.
 *
 * @param least least value
 * @param range greatest value − least value, greater than zero
 * @param score derivative of the profile log-likelihood by the threshold; NaN where the profile is to be passed over
 * @param logLikelihood profile log-likelihood at a threshold
 */
export function bestThreshold(
  least: number,
  range: number,
  score: (threshold: number) => number,
  logLikelihood: (threshold: number) => number,
): number | null {
  const thresholdAt = (u: number) => least - range * Math.exp(u)
  const at = (u: number) => score(thresholdAt(u))
  const step = Math.LN10 / 4
  let best: number | null = null
  let u = -4 * Math.LN10
  let previous = at(u)
  for (let i = 0; i < 32; i++) {
    const next = at(u + step)
    // Going up in u the threshold falls, so that the score turns from negative to positive at a maximum.
    if (previous < 0 && next > 0) {
      const threshold = thresholdAt(findRoot(at, u, u + step))
      if (best === null || logLikelihood(threshold) > logLikelihood(best)) best = threshold
    }
    previous = next
    u += step
  }
  return best
}
