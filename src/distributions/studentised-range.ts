import { ArgumentError } from '../errors.ts'
import { requireNumber, requirePositive, requireProbability } from '../numbers/argument-checks.ts'
import { findRoot } from '../numbers/brent.ts'
import { gaussLegendre } from '../numbers/gauss-legendre.ts'
import { stirlingError } from '../numbers/stirling.ts'
import { normalQuantile } from './normal.ts'
import { normalRangeLower, normalRangeUpper } from './normal-range.ts'

/*
 * The studentised range: the range of k independent standard normal values over an independent √(V / nu), with V
 * chi-square with nu degrees of freedom. Each tail is the mean of the same tail of the normal range over the density
 * of the scale s = √(V / nu), so that a small one keeps its digits. Checked to ten digits for k from 2 to 200 and
 * nu from 1 to 100,000; a tail takes a fraction of a millisecond to a few milliseconds, a quantile about ten times that.
 *
 * Own code: no library at hand has it to this precision.
 */

type Tail = 'lower' | 'upper'

const rule = gaussLegendre(20)
/** The integrand is followed down to exp(−DROP) of its greatest value. */
const DROP = 32

function requireParameters(k: number, nu: number): void {
  if (!(Number.isInteger(k) && k >= 2))
    throw new ArgumentError('k', `must be a whole number from 2 on, not ${k}`)
  requirePositive('nu', nu)
}

/** Position of the greatest value of a unimodal function, within a tolerance, by golden section. */
function peak(
  f: (w: number) => number,
  from: number,
  to: number,
  tolerance: number,
  tieLeft: boolean,
): number {
  const golden = (Math.sqrt(5) - 1) / 2
  let low = from
  let high = to
  let a = high - golden * (high - low)
  let b = low + golden * (high - low)
  let fa = f(a)
  let fb = f(b)
  while (high - low > tolerance) {
    // Equal values are both zero probabilities, far out on the side that `tieLeft` tells.
    if (fa > fb || (fa === fb && tieLeft)) {
      high = b
      b = a
      fb = fa
      a = high - golden * (high - low)
      fa = f(a)
    } else {
      low = a
      a = b
      fa = fb
      b = low + golden * (high - low)
      fb = f(b)
    }
  }
  return (low + high) / 2
}

/** The mean over s of one tail of the normal range at q s, for q > 0, by integration over w = ln s. */
function meanTail(tail: Tail, q: number, k: number, nu: number): number {
  const rangeTail = tail === 'lower' ? normalRangeLower : normalRangeUpper
  // About the middle of the range of k normal values, and where its upper tail is below 1e-13.
  const typical = -2 * normalQuantile(0.625 / (k + 0.25))
  const beyond = Math.sqrt(4 * (30 + 2 * Math.log(k)))
  const logIntegrand = (w: number) =>
    nu * (w - Math.expm1(2 * w) / 2) + Math.log(rangeTail(q * Math.exp(w), k))

  const turn = Math.log(typical / q)
  const spread = 1 / Math.sqrt(2 * nu)
  const mode =
    tail === 'upper'
      ? peak(logIntegrand, Math.min(turn - 4, -0.1), 0, 0.2 * spread, true)
      : peak(logIntegrand, 0, Math.max(turn, 0) + 1.5, 0.2 * spread, false)
  const floor = logIntegrand(mode) - DROP
  let to = mode + 0.5 * spread
  for (let step = 0.5 * spread; logIntegrand(to) > floor; step *= 1.3) to += Math.min(step, 0.5)
  let from = mode - 0.5 * spread
  for (let step = 0.5 * spread; logIntegrand(from) > floor; step *= 1.3) from -= step

  let sum = 0
  let right = to
  while (right > from) {
    const s = Math.exp(right)
    let length = s > 0.5 ? (6 * spread) / s : Math.min(12 * spread, 20 / nu)
    const w = q * s
    if (tail === 'upper' || w < beyond) {
      if (w > typical / 4) length = Math.min(length, 3 / w)
    } else {
      length = Math.min(length, right - Math.log(beyond / q) + 1e-9)
    }
    length = Math.min(length, right - from)
    const half = length / 2
    let piece = 0
    for (let i = 0; i < rule.nodes.length; i++) {
      const u = right - half + half * (rule.nodes[i] as number)
      const density = Math.exp(nu * (u - Math.expm1(2 * u) / 2))
      piece += (rule.weights[i] as number) * density * rangeTail(q * Math.exp(u), k)
    }
    sum += piece * half
    right -= length
  }
  return Math.min(1, Math.sqrt(nu / Math.PI) * Math.exp(-stirlingError(nu / 2)) * sum)
}

/**
 * P[Q ≤ q] of the studentised range of k values.
 * @param k whole number of values from 2 on
 * @param nu degrees of freedom of the scale, greater than zero
 * @throws ArgumentError where q is not a number, or k or nu is out of range
 */
export function studentisedRangeLower(q: number, k: number, nu: number): number {
  requireNumber('q', q)
  requireParameters(k, nu)
  if (q <= 0) return 0
  return q > 1e100 ? 1 : meanTail('lower', q, k, nu)
}

/**
 * P[Q > q] of the studentised range of k values.
 * @throws ArgumentError as `studentisedRangeLower`
 */
export function studentisedRangeUpper(q: number, k: number, nu: number): number {
  requireNumber('q', q)
  requireParameters(k, nu)
  if (q <= 0) return 1
  return q > 1e100 ? 0 : meanTail('upper', q, k, nu)
}

/** The q with a given tail, by Brent's method in ln q on the logarithm of the tail. */
function quantileFromTail(tail: Tail, target: number, k: number, nu: number): number {
  const excess = (u: number) => Math.log(meanTail(tail, Math.exp(u), k, nu) / target)
  const sign = tail === 'lower' ? 1 : -1
  let low = Math.log(-2 * normalQuantile(0.625 / (k + 0.25)))
  let high = low
  while (sign * excess(low) > 0) low -= 1
  while (sign * excess(high) < 0) high += 1
  return Math.exp(findRoot(excess, low, high, 1e-13))
}

/**
 * The q with P[Q ≤ q] = p; 0 and ∞ at p = 0 and 1.
 * @throws ArgumentError where p is no probability, or k or nu is out of range
 */
export function studentisedRangeQuantile(p: number, k: number, nu: number): number {
  requireProbability('p', p)
  requireParameters(k, nu)
  if (p === 0) return 0
  if (p === 1) return Number.POSITIVE_INFINITY
  return p <= 0.5 ? quantileFromTail('lower', p, k, nu) : quantileFromTail('upper', 1 - p, k, nu)
}

/**
 * The q with P[Q > q] = q0; ∞ and 0 at q0 = 0 and 1.
 * @param upper probability of exceeding, 0 to 1
 * @throws ArgumentError where `upper` is no probability, or k or nu is out of range
 */
export function studentisedRangeUpperQuantile(upper: number, k: number, nu: number): number {
  requireProbability('upper', upper)
  requireParameters(k, nu)
  if (upper === 0) return Number.POSITIVE_INFINITY
  if (upper === 1) return 0
  return upper <= 0.5 ? quantileFromTail('upper', upper, k, nu) : quantileFromTail('lower', 1 - upper, k, nu)
}
