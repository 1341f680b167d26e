import { chiSquareQuantile, chiSquareUpper } from '../distributions/chi-square.ts'
import { noncentralStudentQuantile } from '../distributions/noncentral-student.ts'
import { normalDensity, normalUpper, normalUpperQuantile } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { findRoot } from '../numbers/brent.ts'
import { gaussLegendre, integrate } from '../numbers/gauss-legendre.ts'

/**
 * The k for which mean + k s lies, with the given confidence, above the stated share of a normal population (and
 * mean − k s below it): a quantile of the noncentral t distribution. Exact.
 *
 * Sources: D. B. Owen, A survey of properties and applications of the noncentral t-distribution, Technometrics 10
 * (1968), 445–478; ISO 16269-6; NIST/SEMATECH e-Handbook of Statistical Methods, section 7.2.6.3.
 *
 * @param n values behind the mean, not necessarily a whole number; above 0
 * @param df degrees of freedom of s, above 0; n − 1 for a single sample
 * @param content share of the population, above 0 and below 1
 * @param confidence above 0 and below 1
 * @throws ArgumentError where an argument is out of range
 */
export function oneSidedToleranceFactor(n: number, df: number, content: number, confidence: number): number {
  checkArguments(n, df, content, confidence)
  const root = Math.sqrt(n)
  return noncentralStudentQuantile(confidence, df, normalUpperQuantile(1 - content) * root) / root
}

/**
 * The k for which the interval mean ± k s holds, with the given confidence, at least the stated share of a normal
 * population. Exact up to quadrature, which is good to ten digits.
 *
 * Sources: R. E. Odeh, Tables of two-sided tolerance factors for a normal distribution, Communications in Statistics
 * B 7 (1978), 183–201; ISO 16269-6; K. Krishnamoorthy and T. Mathew, Statistical Tolerance Regions (2009), section 2.3.
 *
 * @param n values behind the mean, not necessarily a whole number; above 0
 * @param df degrees of freedom of s, above 0; n − 1 for a single sample
 * @param content share of the population, above 0 and below 1
 * @param confidence above 0 and below 1
 * @throws ArgumentError where an argument is out of range
 */
export function twoSidedToleranceFactor(n: number, df: number, content: number, confidence: number): number {
  checkArguments(n, df, content, confidence)
  const outside = 1 - content
  const rule = gaussLegendre(48)
  const root = Math.sqrt(n)
  const halfWidths = new Map<number, number>()
  /** Half width, in sigma, that an interval centred z standard errors off the mean needs to hold the content. */
  const halfWidth = (z: number) => {
    const known = halfWidths.get(z)
    if (known !== undefined) return known
    const x = z / root
    const least = normalUpperQuantile(outside / 2)
    const excess = (r: number) => Math.log((normalUpper(r + x) + normalUpper(r - x)) / outside)
    const found = x === 0 ? least : findRoot(excess, least * (1 - 1e-12), x + least + 1)
    halfWidths.set(z, found)
    return found
  }
  /** Probability that mean + z standard errors ± k s holds the content, over z > 0. */
  const holding = (k: number) => {
    const density = (z: number) => normalDensity(z) * chiSquareUpper(df * (halfWidth(z) / k) ** 2, df)
    return integrate(density, 0, 3, rule) + integrate(density, 3, 9, rule)
  }
  // Only means above the true one were counted: half of all.
  const shortfall = (k: number) => 0.5 * confidence - holding(k)
  const near = howeFactor(n, df, content, confidence)
  let low = near / 1.1
  let high = near * 1.1
  while (shortfall(low) < 0) low /= 1.5
  while (shortfall(high) > 0) high *= 1.5
  return findRoot(shortfall, low, high, 1e-12 * near)
}

/**
 * Howe's approximation of the two-sided factor, good to about a hundredth from ten values on; where the search for the
 * exact one begins.
 *
 * Source: W. G. Howe, Two-sided tolerance limits for normal populations, Journal of the American Statistical
 * Association 64 (1969), 610–620. Arguments as for `twoSidedToleranceFactor`.
 */
export function howeFactor(n: number, df: number, content: number, confidence: number): number {
  const z = normalUpperQuantile((1 - content) / 2)
  return z * Math.sqrt((df * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, df))
}

function checkArguments(n: number, df: number, content: number, confidence: number): void {
  if (!(n > 0 && Number.isFinite(n))) throw new ArgumentError('n', `${n} is not above 0`)
  if (!(df > 0 && Number.isFinite(df))) throw new ArgumentError('df', `${df} is not above 0`)
  if (!(content > 0 && content < 1)) throw new ArgumentError('content', `${content} is not between 0 and 1`)
  if (!(confidence > 0 && confidence < 1)) {
    throw new ArgumentError('confidence', `${confidence} is not between 0 and 1`)
  }
}
