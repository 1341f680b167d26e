import { chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { ArgumentError } from '../errors.ts'
import { findRoot } from '../numbers/brent.ts'
import { boundedMinimum, type Minimum, type Objective } from './bounded-minimum.ts'
import { type Nesting, nest } from './nesting.ts'
import { restrictedDeviance } from './restricted-likelihood.ts'

/** Scatter that one level of nesting adds. */
export interface VarianceComponent {
  /** Groups at this level; for the last component, values. */
  readonly groups: number
  /** Estimate, in squared units of the values; 0 where the level adds nothing that can be seen. */
  readonly variance: number
  readonly sd: number
  /** Confidence limits of the standard deviation. The lower one is 0 where no scatter at all is compatible. */
  readonly sdLower: number
  /** Null where the data set no upper limit below a million times what all values scatter. */
  readonly sdUpper: number | null
}

export interface NestedComponents {
  readonly n: number
  /** Generalised least squares mean, which weighs groups by what they tell. */
  readonly mean: number
  readonly meanError: number
  /** From the outermost level inwards; last the scatter of values within the innermost groups. */
  readonly components: readonly VarianceComponent[]
  /** Minus twice the restricted log-likelihood. */
  readonly deviance: number
}

/**
 * Variance components of nested groups of any sizes, such as furnace load, build in load, part in build and repeated
 * measurement of a part, by restricted maximum likelihood (REML) with variances not below 0.
 *
 * Intervals are by profile likelihood: all values of a component at which the restricted likelihood, the other
 * components chosen best, is not significantly lower than at its maximum, by chi-square with 1 degree of freedom. Near
 * 0 this errs on the wide side.
 *
 * Sources: H. D. Patterson and R. Thompson, Recovery of inter-block information when block sizes are unequal,
 * Biometrika 58 (1971), 545–554; S. R. Searle, G. Casella and C. E. McCulloch, Variance Components (1992), chapter 6.
 *
 * @param values n finite numbers in one unit
 * @param levels for each level from the outermost inwards, n labels; a label names a group within its parent
 * @param confidence of each interval, above 0 and below 1
 * @throws ArgumentError where the confidence is out of range, a value or label is not finite, values within the
 *   innermost groups never differ, or a level's scatter cannot be told from the next one's (see `nest`)
 * @throws ConvergenceError where the maximum is not found
 */
export function nestedComponents(
  values: ArrayLike<number>,
  levels: readonly ArrayLike<number>[],
  confidence: number,
): NestedComponents {
  if (!(confidence > 0 && confidence < 1)) {
    throw new ArgumentError('confidence', `${confidence} is not between 0 and 1`)
  }
  const nesting = nest(values, levels)
  if (nesting.withinSquares === 0) {
    throw new ArgumentError('values', 'values within the innermost groups never differ')
  }
  const scale = new Scale(nesting)
  const best = boundedMinimum(scale.objective(nesting), scale.start(nesting), scale.lower, 1e-15)
  const variances = scale.variances(best.x)
  const { mean, meanVariance } = restrictedDeviance(nesting, variances)
  const allowed = best.value + chiSquareUpperQuantile(1 - confidence, 1)
  const components = Array.from(variances, (variance, k) => {
    const [lower, upper] = profileLimits(nesting, scale, best, k, allowed)
    return {
      groups: nesting.groups[k] ?? nesting.n,
      variance,
      sd: Math.sqrt(variance),
      sdLower: Math.sqrt(lower),
      sdUpper: upper === null ? null : Math.sqrt(upper),
    }
  })
  return { n: nesting.n, mean, meanError: Math.sqrt(meanVariance), components, deviance: best.value }
}

/**
 * Variables in which the deviance is close to quadratic: x = ln(1 + v / c) for the variance of a level, where c is what
 * the scatter inside a group of average size adds to its mean, and x = ln(v / c) for the residual variance.
 */
class Scale {
  readonly units: Float64Array
  readonly lower: Float64Array

  constructor(nesting: Nesting) {
    const inner = nesting.groups.at(-1) as number
    const residual = nesting.withinSquares / (nesting.n - inner)
    this.units = Float64Array.of(...nesting.groups.map((groups) => (residual * groups) / nesting.n), residual)
    this.lower = this.units.map((_, k) => (k === nesting.groups.length ? Number.NEGATIVE_INFINITY : 0))
  }

  variance(k: number, x: number): number {
    const unit = this.units[k] as number
    return this.lower[k] === 0 ? unit * Math.expm1(x) : unit * Math.exp(x)
  }

  place(k: number, variance: number): number {
    const ratio = variance / (this.units[k] as number)
    return this.lower[k] === 0 ? Math.log1p(ratio) : Math.log(ratio)
  }

  variances(x: Float64Array): Float64Array {
    return x.map((value, k) => this.variance(k, value))
  }

  start(nesting: Nesting): Float64Array {
    return this.units.map((unit, k) => this.place(k, nesting.meanVariances[k] ?? unit))
  }

  objective(nesting: Nesting): Objective {
    return (x) => {
      const variances = this.variances(x)
      const { value, gradient } = restrictedDeviance(nesting, variances)
      const slopes = variances.map((v, k) => (this.lower[k] === 0 ? v + (this.units[k] as number) : v))
      return { value, gradient: gradient.map((g, k) => g * (slopes[k] as number)) }
    }
  }
}

/** Variances at which the profile deviance of component k reaches `allowed`, below and above the best. */
function profileLimits(
  nesting: Nesting,
  scale: Scale,
  best: Minimum,
  k: number,
  allowed: number,
): [lower: number, upper: number | null] {
  const others = Array.from(best.x.keys()).filter((i) => i !== k)
  const pick = (full: Float64Array) => Float64Array.from(others, (i) => full[i] as number)
  const objective = scale.objective(nesting)
  const width = best.x.length
  let curvature: Float64Array = Float64Array.from(
    others.flatMap((i) => others.map((j) => best.curvature[i * width + j] as number)),
  )
  let warm: Float64Array = pick(best.x)
  /** How far the deviance at x of component k, others at their best, lies above the allowed value. */
  const excess = (x: number) => {
    const whole = (part: Float64Array) => {
      const full = new Float64Array(width)
      full[k] = x
      for (const [place, i] of others.entries()) full[i] = part[place] as number
      return full
    }
    const partial: Objective = (part) => {
      const { value, gradient } = objective(whole(part))
      return { value, gradient: pick(gradient) }
    }
    const found = boundedMinimum(partial, warm, pick(scale.lower), 1e-10, curvature)
    warm = found.x
    curvature = found.curvature
    // The root of the distance from the best is close to a straight line in x.
    return Math.sqrt(Math.max(0, found.value - best.value)) - Math.sqrt(allowed - best.value)
  }
  const at = best.x[k] as number
  const spread = 2 / Math.sqrt(Math.max(best.curvature[k * width + k] as number, 1e-4))
  const away = (direction: 1 | -1, end: number): number | null => {
    warm = pick(best.x)
    let inside = at
    let step = spread
    for (;;) {
      const outside = direction < 0 ? Math.max(end, at - step) : Math.min(end, at + step)
      if (excess(outside) > 0) return findRoot(excess, inside, outside, 1e-8)
      if (outside === end) return null
      inside = outside
      step *= 1.7
    }
  }
  const least = scale.lower[k] === 0 ? 0 : -700
  const below = at === least ? null : away(-1, least)
  const above = away(1, scale.place(k, largestVariance(nesting)))
  return [below === null ? 0 : scale.variance(k, below), above === null ? null : scale.variance(k, above)]
}

/** A million times over all that the values scatter, as a variance. */
function largestVariance({ meanVariances, withinSquares, n }: Nesting): number {
  return 1e12 * (meanVariances.reduce((sum, v) => sum + v, 0) + withinSquares / n)
}
