import { normalLower, normalQuantile } from '../distributions/normal.ts'
import { studentQuantile } from '../distributions/student.ts'
import type { ResampledFits } from './bootstrap.ts'
import type { FittedDistribution } from './fitted-distribution.ts'

/**
 * Bootstrap interval of a figure of a distribution: the percentile interval, its percentiles corrected for bias and
 * acceleration (BCa) and moved out for few units. Plain percentiles put the true index below the interval three times
 * as often as they should at 50 values, the side that hurts.
 *
 * Source: B. Efron, Journal of the American Statistical Association 82 (1987), 171–185; moving out to √(k / (k − 1))
 * times Student's quantile with k − 1 degrees of freedom: T. C. Hesterberg, The American Statistician 69 (2015),
 * 371–386.
 *
 * @param value the figure from the values themselves
 * @param of the figure of a distribution
 * @param confidence as a fraction
 */
export function bootstrapInterval(
  value: number,
  of: (distribution: FittedDistribution) => number,
  { drawn, leftOut, units }: ResampledFits,
  confidence: number,
): { readonly lower: number; readonly upper: number } {
  const sorted = Float64Array.from(drawn, of).sort()
  const bias = normalQuantile(shareBelow(sorted, value))
  const acceleration = skewness(leftOut.map(of)) / 6
  const reach = Math.sqrt(units / (units - 1)) * -studentQuantile((1 - confidence) / 2, units - 1)
  const percentile = (z: number) => {
    const room = 1 - acceleration * (bias + z)
    // Beyond its pole the correction has no meaning; the outermost estimate is the end.
    if (room <= 0) return acceleration > 0 ? 1 : 0
    return normalLower(bias + (bias + z) / room)
  }
  return {
    lower: estimateAt(sorted, percentile(-reach)),
    upper: estimateAt(sorted, percentile(reach)),
  }
}

/** Share of the estimates below a value, ties counted half, never quite 0 or 1. */
function shareBelow(sorted: Float64Array, value: number): number {
  let below = 0
  for (const estimate of sorted) below += estimate < value ? 1 : estimate === value ? 0.5 : 0
  return (below + 0.5) / (sorted.length + 1)
}

/** Σ(m − x)³ / (Σ(m − x)²)^1.5 of the estimates with a block left out: six times Efron's acceleration. */
function skewness(estimates: readonly number[]): number {
  const mean = estimates.reduce((sum, x) => sum + x, 0) / estimates.length
  let squares = 0
  let cubes = 0
  for (const x of estimates) {
    squares += (mean - x) ** 2
    cubes += (mean - x) ** 3
  }
  return squares === 0 ? 0 : cubes / squares ** 1.5
}

/** The estimates part the line into equally likely gaps: the one of rank (B + 1) p, between ranks by proportion. */
function estimateAt(sorted: Float64Array, p: number): number {
  const place = Math.min(sorted.length, Math.max(1, (sorted.length + 1) * p))
  const rank = Math.floor(place)
  const low = sorted[rank - 1] as number
  const high = sorted[Math.min(rank, sorted.length - 1)] as number
  return low === high ? low : low + (place - rank) * (high - low)
}
