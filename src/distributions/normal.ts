import { requireNumber, requireProbability } from '../numbers/argument-checks.ts'
import { gaussLegendre, integrate } from '../numbers/gauss-legendre.ts'
import { polynomial } from '../numbers/polynomial.ts'

/*
 * The standard normal distribution. Own code, because simple-statistics has four-figure tables here and jstat
 * loses digits in the tails.
 *
 * Probabilities: W. J. Cody, Rational Chebyshev approximations for the error function, Mathematics of Computation 23
 * (1969), 631–637, in the form that he gave for Φ in ACM Transactions on Mathematical Software 19 (1993), 22–32.
 * Quantile: M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988), 477–484, PPND16.
 */

const ROOT_TWO_PI = 2.5066282746310007
const INVERSE_ROOT_TWO_PI = 0.3989422804014327
const HALF_LOG_TWO_PI = 0.9189385332046727
const ROOT_32 = 5.656854249492381

/** Coefficients of Cody's approximations near the middle, between it and √32, and beyond; highest power first. */
const CENTRAL_TOP = Float64Array.of(
  0.06568233791820745,
  2.2352520354606837,
  161.02823106855587,
  1067.6894854603709,
  18154.98125334356,
)
const CENTRAL_BOTTOM = Float64Array.of(
  1.0,
  47.202581904688245,
  976.0985517377767,
  10260.932208618979,
  45507.78933502673,
)
const MIDDLE_TOP = Float64Array.of(
  1.0765576773720192e-8,
  0.39894151208813466,
  8.883149794388377,
  93.50665613217785,
  597.2702763948002,
  2494.5375852903726,
  6848.190450536283,
  11602.65143764735,
  9842.714838383978,
)
const MIDDLE_BOTTOM = Float64Array.of(
  1.0,
  22.266688044328117,
  235.387901782625,
  1519.3775994075547,
  6485.558298266761,
  18615.571640885097,
  34900.95272114598,
  38912.00328609327,
  19685.429676859992,
)
const FAR_TOP = Float64Array.of(
  0.023073441764940174,
  0.215898534057957,
  0.12740116116024736,
  0.02223527787064981,
  0.0014216191932278934,
  2.9112874951168793e-5,
)
const FAR_BOTTOM = Float64Array.of(
  1.0,
  1.284260096144911,
  0.4682382124808651,
  0.06598813786892856,
  0.0037823963320275824,
  7.297515550839662e-5,
)

/** Coefficients of Wichura's approximations for |p − ½| up to 0.425, then by √(−ln tail) up to 5, and beyond. */
const INNER_TOP = Float64Array.of(
  2509.0809287301227,
  33430.57558358813,
  67265.7709270087,
  45921.95393154987,
  13731.69376550946,
  1971.5909503065513,
  133.14166789178438,
  3.3871328727963665,
)
const INNER_BOTTOM = Float64Array.of(
  5226.495278852854,
  28729.085735721943,
  39307.89580009271,
  21213.794301586597,
  5394.196021424751,
  687.1870074920579,
  42.31333070160091,
  1.0,
)
const OUTER_TOP = Float64Array.of(
  0.0007745450142783414,
  0.022723844989269184,
  0.2417807251774506,
  1.2704582524523684,
  3.6478483247632045,
  5.769497221460691,
  4.630337846156546,
  1.4234371107496835,
)
const OUTER_BOTTOM = Float64Array.of(
  1.0507500716444169e-9,
  0.0005475938084995345,
  0.015198666563616457,
  0.14810397642748008,
  0.6897673349851,
  1.6763848301838038,
  2.053191626637759,
  1.0,
)
const LAST_TOP = Float64Array.of(
  2.0103343992922881e-7,
  2.7115555687434876e-5,
  0.0012426609473880784,
  0.026532189526576124,
  0.29656057182850487,
  1.7848265399172913,
  5.463784911164114,
  6.657904643501103,
)
const LAST_BOTTOM = Float64Array.of(
  2.0442631033899397e-15,
  1.421511758316446e-7,
  1.8463183175100548e-5,
  0.0007868691311456133,
  0.014875361290850615,
  0.1369298809227358,
  0.599832206555888,
  1.0,
)

/** exp(−x²/2) with the rounding error of x² taken out: x is split into a short part and a rest. */
function gaussian(x: number): number {
  const short = Math.trunc(x * 16) / 16
  return Math.exp(-0.5 * short * short) * Math.exp(-0.5 * (x - short) * (x + short))
}

/** Φ(x) − ½ for |x| ≤ 0.67449. */
function centralPart(x: number): number {
  const s = x * x
  return (x * polynomial(CENTRAL_TOP, s)) / polynomial(CENTRAL_BOTTOM, s)
}

/** Upper tail over exp(−x²/2), for x > 0.67449. */
function scaledTail(x: number): number {
  if (x <= ROOT_32) return polynomial(MIDDLE_TOP, x) / polynomial(MIDDLE_BOTTOM, x)
  const s = 1 / (x * x)
  return (INVERSE_ROOT_TWO_PI - (s * polynomial(FAR_TOP, s)) / polynomial(FAR_BOTTOM, s)) / x
}

/** Upper tail for an argument that is known to be a number. */
function upper(x: number): number {
  if (x > 0.67448975) return x > 39 ? 0 : gaussian(x) * scaledTail(x)
  if (x >= -0.67448975) return 0.5 - centralPart(x)
  return x < -39 ? 1 : 1 - gaussian(x) * scaledTail(-x)
}

/**
 * Density of the standard normal distribution at x.
 * @throws ArgumentError where x is not a number
 */
export function normalDensity(x: number): number {
  requireNumber('x', x)
  return Math.abs(x) > 39 ? 0 : INVERSE_ROOT_TWO_PI * gaussian(x)
}

/**
 * P[X ≤ x], relative error below 1e-14 down to the smallest double.
 * @throws ArgumentError where x is not a number
 */
export function normalLower(x: number): number {
  requireNumber('x', x)
  return upper(-x)
}

/**
 * P[X > x], relative error below 1e-14 down to the smallest double.
 * @throws ArgumentError where x is not a number
 */
export function normalUpper(x: number): number {
  requireNumber('x', x)
  return upper(x)
}

const shortRule = gaussLegendre(12)

/**
 * P[|X − centre| ≤ half], with its digits also where the interval is short or far out; 0 where half ≤ 0.
 * @throws ArgumentError where centre or half is not a number
 */
export function normalWithin(centre: number, half: number): number {
  requireNumber('centre', centre)
  requireNumber('half', half)
  if (half <= 0) return 0
  const distance = Math.abs(centre)
  if (half * Math.max(1, distance) < 0.5) {
    return half * integrate((y) => normalDensity(centre + half * y), -1, 1, shortRule)
  }
  const near = distance - half
  return near >= 0 ? upper(near) - upper(distance + half) : 1 - upper(-near) - upper(distance + half)
}

/**
 * Mills' ratio P[X > x] / density(x), for any x; grows without bound, up to infinity, towards −∞.
 * @throws ArgumentError where x is not a number
 */
export function normalMillsRatio(x: number): number {
  requireNumber('x', x)
  if (x === Number.POSITIVE_INFINITY) return 0
  return x > 0.67448975 ? ROOT_TWO_PI * scaledTail(x) : upper(x) / normalDensity(x)
}

/**
 * ln P[X > x], also where the probability itself is too small for a double.
 * @throws ArgumentError where x is not a number
 */
export function normalLogUpper(x: number): number {
  requireNumber('x', x)
  if (x === Number.POSITIVE_INFINITY) return Number.NEGATIVE_INFINITY
  if (x > 0.67448975) return Math.log(ROOT_TWO_PI * scaledTail(x)) - HALF_LOG_TWO_PI - 0.5 * x * x
  return x < 0 ? Math.log1p(-upper(-x)) : Math.log(upper(x))
}

/**
 * The x with P[X ≤ x] = p; −∞ and ∞ at p = 0 and 1.
 * @param p probability, 0 to 1. Near 1 a double cannot tell probabilities apart: use `normalUpperQuantile` there.
 * @throws ArgumentError where p is no probability
 */
export function normalQuantile(p: number): number {
  requireProbability('p', p)
  const q = p - 0.5
  if (Math.abs(q) <= 0.425) {
    const r = 0.180625 - q * q
    return (q * polynomial(INNER_TOP, r)) / polynomial(INNER_BOTTOM, r)
  }
  const tail = q < 0 ? p : 1 - p
  if (tail === 0) return q < 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY
  const x = outerQuantile(Math.sqrt(-Math.log(tail)))
  return q < 0 ? -x : x
}

/** Positive quantile of the tail exp(−r²), r from 1.6 up to 27.3 where doubles end. */
function outerQuantile(r: number): number {
  if (r <= 5) return polynomial(OUTER_TOP, r - 1.6) / polynomial(OUTER_BOTTOM, r - 1.6)
  return polynomial(LAST_TOP, r - 5) / polynomial(LAST_BOTTOM, r - 5)
}

/**
 * The x with P[X > x] = q; ∞ and −∞ at q = 0 and 1.
 * @param q probability, 0 to 1
 * @throws ArgumentError where q is no probability
 */
export function normalUpperQuantile(q: number): number {
  requireProbability('q', q)
  // A difference, so that the middle is 0 rather than −0.
  return 0 - normalQuantile(q)
}
