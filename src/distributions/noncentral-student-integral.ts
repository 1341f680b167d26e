import { gaussLegendre } from '../numbers/gauss-legendre.ts'
import { stirlingError } from '../numbers/stirling.ts'
import { normalLogUpper, normalMillsRatio, normalUpper } from './normal.ts'

/*
 * The noncentral t distribution as an integral over the scale S = √(V / nu), with density f_S:
 *
 *   P[T > t] = ∫ P[Z > t s − delta] f_S(s) ds,   P[T ≤ t] = ∫ P[Z ≤ t s − delta] f_S(s) ds,
 *   density  = ∫ s φ(t s − delta) f_S(s) ds.
 *
 * Every term is positive, so that each tail keeps its relative precision. The integrand is log-concave in s: it is
 * followed from its mode to where it is negligible, and cut there into pieces short against its local scale, each
 * taken by a Gauss–Legendre rule in w = ln s.
 */

export type Kernel = 'lower' | 'upper' | 'density'

const HALF_LOG_TWO_PI = 0.9189385332046727
const rule = gaussLegendre(20)
/** Pieces are this many local standard deviations long: the rule of 20 points is exact to 1e-13 on them. */
const PIECE = 4.5
/** The integrand is followed down to exp(−DROP) of its greatest value. */
const DROP = 36

/** Logarithm of the integrand in w = ln s, without its constant. */
function logIntegrand(kernel: Kernel, s: number, t: number, nu: number, delta: number): number {
  const z = t * s - delta
  const scale = nu * (Math.log(s) - (s * s - 1) / 2)
  if (kernel === 'upper') return scale + normalLogUpper(z)
  if (kernel === 'lower') return scale + normalLogUpper(-z)
  return scale + Math.log(s) - (z * z) / 2
}

/** First and second derivative by s of the logarithm of the integrand. */
function slopes(kernel: Kernel, s: number, t: number, nu: number, delta: number): [number, number] {
  const first = nu / s - nu * s
  const second = -nu / (s * s) - nu
  const z = t * s - delta
  if (kernel === 'density') return [first + 1 / s - t * z, second - 1 / (s * s) - t * t]
  const x = kernel === 'upper' ? z : -z
  const hazard = 1 / normalMillsRatio(x)
  return [first + (kernel === 'upper' ? -t : t) * hazard, second - t * t * hazard * Math.max(0, hazard - x)]
}

/** Mode of the integrand and its standard deviation there, both in s. */
function mode(kernel: Kernel, t: number, nu: number, delta: number): { s: number; sigma: number } {
  // Zero of (nu + t²) s² − t delta s − nu: the mode where the normal factor is far in its tail.
  const pull = t * delta
  const root = Math.sqrt(pull * pull + 4 * nu * (nu + t * t))
  const gaussian = pull > 0 ? (pull + root) / (2 * (nu + t * t)) : (2 * nu) / (root - pull)
  const z = t * gaussian - delta
  const inTail = kernel === 'density' || (kernel === 'upper' ? z > 0 : z < 0)
  let s = inTail ? gaussian : 1
  let low = 0
  let high = Number.POSITIVE_INFINITY
  let second = 0
  for (let i = 0; i < 60; i++) {
    const [first, curvature] = slopes(kernel, s, t, nu, delta)
    second = curvature
    if (first > 0) low = s
    else high = s
    let next = s - first / curvature
    if (!(next > low && next < high)) next = high === Number.POSITIVE_INFINITY ? 2 * s : (low + high) / 2
    const moved = Math.abs(next - s)
    s = next
    if (moved < 0.01 / Math.sqrt(-second)) break
  }
  return { s, sigma: 1 / Math.sqrt(-second) }
}

/** Ends of the integration in w. */
function window(kernel: Kernel, t: number, nu: number, delta: number): { from: number; to: number } {
  const { s, sigma } = mode(kernel, t, nu, delta)
  const floor = logIntegrand(kernel, s, t, nu, delta) - DROP
  let right = s + 8 * sigma
  for (let step = sigma; logIntegrand(kernel, right, t, nu, delta) > floor; step *= 1.3) right += step
  const spread = sigma / s
  let from = Math.log(s) - 6 * spread
  for (let step = spread; logIntegrand(kernel, Math.exp(from), t, nu, delta) > floor; step *= 1.3)
    from -= step
  return { from, to: Math.log(right) }
}

/**
 * One of the three integrals at t > 0, at most about 1e100; nu > 0 and delta finite, all taken as checked.
 */
export function noncentralIntegral(kernel: Kernel, t: number, nu: number, delta: number): number {
  const { from, to } = window(kernel, t, nu, delta)
  const rootTwoNu = Math.sqrt(2 * nu)
  const { nodes, weights } = rule
  // Beyond nine standard deviations on its far side the normal tail is one, and sets no scale.
  const flatFrom = kernel === 'lower' ? Math.log(Math.max(0, delta + 9) / t) : Number.POSITIVE_INFINITY
  const flatTo = kernel === 'upper' ? Math.log(Math.max(0, delta - 9) / t) : Number.NEGATIVE_INFINITY
  let sum = 0
  let right = to
  while (right > from) {
    const s = Math.exp(right)
    let length = s > 0.5 ? PIECE / (s * rootTwoNu) : Math.min((2 * PIECE) / rootTwoNu, 20 / nu)
    if (right > flatFrom) length = Math.min(length, right - flatFrom)
    else if (right > flatTo) length = Math.min(length, PIECE / (t * s))
    length = Math.min(Math.max(length, 1e-9 * (to - from)), right - from)
    const half = length / 2
    const centre = right - half
    let piece = 0
    for (let i = 0; i < nodes.length; i++) {
      const w = centre + half * (nodes[i] as number)
      const factor = Math.exp(w)
      const z = t * factor - delta
      const exponent = nu * (w - Math.expm1(2 * w) / 2)
      const value =
        kernel === 'density'
          ? factor * Math.exp(exponent - (z * z) / 2 - HALF_LOG_TWO_PI)
          : Math.exp(exponent) * normalUpper(kernel === 'upper' ? z : -z)
      piece += (weights[i] as number) * value
    }
    sum += piece * half
    right -= length
  }
  return Math.sqrt(nu / Math.PI) * Math.exp(-stirlingError(nu / 2)) * sum
}
