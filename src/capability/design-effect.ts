import { type Moments, momentsOf } from '../description/moments.ts'
import { oneWayAnalysis } from '../variation/one-way.ts'

/**
 * Independent values that values of builds are worth, for the question where they lie: from 1 to as many as there are.
 *
 * @param groups moments of the values of each build
 */
export function independentValues(groups: readonly Moments[]): number {
  return groups.reduce((sum, { n }) => sum + n, 0) / effectOf(groups, 1)
}

/** Values sorted into the groups that their labels name, in order of appearance. */
export function groupValues(values: ArrayLike<number>, labels: ArrayLike<string | number>): Float64Array[] {
  const groups = new Map<string | number, number[]>()
  for (let i = 0; i < values.length; i++) {
    const label = labels[i] as string | number
    const group = groups.get(label)
    if (group === undefined) groups.set(label, [values[i] as number])
    else group.push(values[i] as number)
  }
  return [...groups.values()].map((group) => Float64Array.from(group))
}

/**
 * By how much the alikeness of parts of one build inflates the variance of a mean of Hermite polynomials of the given
 * order: 1 + (m − 1) ρ^order, with ρ the correlation of two parts of one build and m the size of build that the mean
 * meets, Σnᵢ² / n. Order 1 is the mean of the values, 2 their spread; what a test of normality sees, once mean and
 * spread are fitted, begins at order 3.
 *
 * Source: L. Kish, Survey Sampling (1965), section 5.4, for order 1; the power follows from Mehler's expansion of the
 * bivariate normal density, whose k-th Hermite polynomials have correlation ρ^k.
 *
 * @param groups values of each build
 * @returns at least 1; 1 where builds cannot be compared
 */
export function designEffect(groups: readonly ArrayLike<number>[], order: number): number {
  return effectOf(groups.map(momentsOf), order)
}

function effectOf(moments: readonly Moments[], order: number): number {
  const analysis = oneWayAnalysis(moments)
  if (analysis === null) return 1
  let n = 0
  let squares = 0
  for (const group of moments) {
    n += group.n
    squares += group.n * group.n
  }
  const { msBetween, msWithin, dfBetween } = analysis
  const size = (n - squares / n) / dfBetween
  const between = Math.max(0, (msBetween - msWithin) / size)
  const correlation = between / (between + msWithin)
  return 1 + (squares / n - 1) * correlation ** order
}
