import { normalQuantile } from '../distributions/normal.ts'
import { normalRangeLower } from '../distributions/normal-range.ts'
import { ArgumentError } from '../errors.ts'
import { gaussLegendre } from '../numbers/gauss-legendre.ts'

interface RangeConstants {
  readonly d2: number
  readonly d3: number
}

const known = new Map<number, RangeConstants>()

/**
 * Mean and standard deviation of the range of n standard normal values, from its distribution function G:
 * with any c, E[R] − c = ∫_c^∞ (1 − G) dw − ∫_0^c G dw, and
 * E[(R − c)²] = 2 ∫_c^∞ (w − c)(1 − G) dw + 2 ∫_0^c (c − w) G dw.
 * With c near the mean nothing cancels.
 */
function computeRangeConstants(n: number): RangeConstants {
  const c = -2 * normalQuantile(0.625 / (n + 0.25))
  const rule = gaussLegendre(40)
  // Outside these bounds G or 1 − G is below 1e-17.
  const from = Math.max(0, c - 4.5)
  const to = Math.sqrt(4 * (37 + 2 * Math.log(n)))
  let first = 0
  let second = 0
  for (let i = 0; i < rule.nodes.length; i++) {
    const node = rule.nodes[i] as number
    const weight = rule.weights[i] as number
    const below = ((c - from) * (1 - node)) / 2
    const lower = weight * ((c - from) / 2) * normalRangeLower(c - below, n)
    const above = ((to - c) * (1 + node)) / 2
    const upper = weight * ((to - c) / 2) * (1 - normalRangeLower(c + above, n))
    first += upper - lower
    second += 2 * (above * upper + below * lower)
  }
  return { d2: c + first, d3: Math.sqrt(second - first * first) }
}

function rangeConstants(n: number): RangeConstants {
  const found = known.get(n)
  if (found !== undefined) return found
  if (!(Number.isInteger(n) && n >= 2 && n <= 1000)) {
    throw new ArgumentError('n', `must be a whole number from 2 to 1000, not ${n}`)
  }
  const computed = computeRangeConstants(n)
  known.set(n, computed)
  return computed
}

/**
 * d2(n): expected range of n normal values over their standard deviation. Computed on first use, then remembered.
 * @param n whole number from 2 to 1000
 * @throws ArgumentError where n is anything else
 */
export function d2(n: number): number {
  return rangeConstants(n).d2
}

/**
 * d3(n): standard deviation of the range of n normal values over their standard deviation. Computed with d2.
 * @param n whole number from 2 to 1000
 * @throws ArgumentError where n is anything else
 */
export function d3(n: number): number {
  return rangeConstants(n).d3
}
