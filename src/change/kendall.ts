import { normalUpperQuantile } from '../distributions/normal.ts'

/** Up to this many places the distribution is counted out. */
const MOST_COUNTED = 60

/**
 * How many of the smallest (and of the largest) pairwise slopes a confidence interval for the slope leaves out,
 * plus one: the 1-based rank r of its lower limit among the N slopes, the upper limit having rank N + 1 − r. 0 where
 * even the extreme slopes do not reach the confidence.
 *
 * The slopes below the true one number as the inversions of a random permutation. Up to 60 different places their
 * distribution is exact; otherwise it is taken as normal, with its variance corrected for places that coincide.
 *
 * Sources: M. G. Kendall, Rank Correlation Methods (1948); P. K. Sen, Estimates of the regression coefficient based on
 * Kendall's tau, Journal of the American Statistical Association 63 (1968), 1379–1389, equations 2.5 and 2.6.
 *
 * @param ties for every place the number of values at it
 * @param pairs N, the number of slopes
 */
export function slopeRank(ties: readonly number[], pairs: number, confidence: number): number {
  const tail = (1 - confidence) / 2
  const n = ties.reduce((sum, t) => sum + t, 0)
  if (ties.length === n && n <= MOST_COUNTED) {
    const inversions = inversionProbabilities(n)
    let below = 0
    let rank = 0
    while (below + (inversions[rank] as number) <= tail) {
      below += inversions[rank] as number
      rank++
    }
    return rank
  }
  const count = (t: number) => t * (t - 1) * (2 * t + 5)
  const variance = (count(n) - ties.reduce((sum, t) => sum + count(t), 0)) / 18
  return Math.max(0, Math.round((pairs - normalUpperQuantile(tail) * Math.sqrt(variance)) / 2))
}

/** Probability of 0, 1, … inversions in a random permutation of n things. */
function inversionProbabilities(n: number): Float64Array {
  let last = Float64Array.of(1)
  for (let k = 2; k <= n; k++) {
    // The k-th thing adds 0 to k − 1 inversions, each as likely as the others.
    const next = new Float64Array((k * (k - 1)) / 2 + 1)
    for (const [inversions, probability] of last.entries()) {
      for (let more = 0; more < k; more++) {
        next[inversions + more] = (next[inversions + more] as number) + probability / k
      }
    }
    last = next
  }
  return last
}
