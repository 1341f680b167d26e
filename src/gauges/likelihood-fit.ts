import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import { ConvergenceError } from '../errors.ts'
import { findRoot } from '../numbers/brent.ts'
import { boundedMinimum, type Minimum, type Objective } from '../variation/bounded-minimum.ts'
import type { ComponentLikelihood } from './crossed-likelihood.ts'
import type { StudyFigure } from './study-model.ts'

/** A positive function of the variances: Σ numerator / Σ denominator, each with weights not below 0. */
export interface VarianceFunction {
  readonly numerator: readonly number[]
  /** Null for a plain sum. */
  readonly denominator: readonly number[] | null
}

export type CutOff = 'degrees of freedom' | 'large samples'

/** Variance components at the maximum of their restricted likelihood. */
export interface LikelihoodFit {
  readonly variances: Float64Array
  readonly deviance: number
  /**
   * A function of the variances with its profile likelihood limits.
   *
   * @param cutOff how far the likelihood falls at a limit: as the degrees of freedom of the estimate ask for (see
   *   `allowedDeviance`), or as in large samples, by chi-square with one degree of freedom. Ratios go by the latter
   */
  figure(of: VarianceFunction, confidence: number, cutOff?: CutOff): StudyFigure
}

/** How strongly the search is drawn to the value asked for; where it is drawn to matters, not how strongly. */
const PULL = 100

/** A variance below this share of the greatest is rounding. */
const NO_SCATTER = 1e-16

/** Up to this many powers of e the search begins from several points. */
const NEAR = 5

/** Beyond this many powers of e the readings set no limit. */
const FARTHEST = 28

/**
 * Fits the components and gives profile likelihood intervals of functions of them: all values at which the restricted
 * likelihood, the components otherwise chosen best, is not significantly lower than at its maximum (see
 * `allowedDeviance`; ratios by chi-square with one degree of freedom).
 *
 * Which components are best at a value t of the function g is found without solving g = t: the minimum of
 * deviance + pull (ln g − s)² is, whatever s, the least deviance at the value that g takes there, and s is moved until
 * the deviance is the one asked for.
 *
 * Sources: as `crossedLikelihood`; D. A. Harville (1977) for the criterion.
 *
 * @throws ConvergenceError where the maximum, or a limit, is not found, as where readings have no scatter at all
 */
export function fitComponents({ deviance, df, units, start }: ComponentLikelihood): LikelihoodFit {
  const last = units.length - 1
  if (!((start[last] as number) > NO_SCATTER * Math.max(...start))) {
    throw new ConvergenceError(
      'the readings fit together without scatter, where the likelihood has no maximum',
    )
  }
  // Variables in which the deviance is close to quadratic: ln(1 + v / unit), and ln(v / unit) for the last.
  const lower = units.map((_, k) => (k === last ? Number.NEGATIVE_INFINITY : 0))
  const varianceOf = (x: Float64Array) =>
    x.map((value, k) => (units[k] as number) * (k === last ? Math.exp(value) : Math.expm1(value)))
  const placeOf = (variances: Float64Array) =>
    variances.map((v, k) =>
      k === last ? Math.log(v / (units[k] as number)) : Math.log1p(v / (units[k] as number)),
    )
  const slopeOf = (variances: Float64Array) =>
    variances.map((v, k) => (k === last ? v : v + (units[k] as number)))
  const objective: Objective = (x) => {
    const variances = varianceOf(x)
    const { value, gradient } = deviance(variances)
    const slope = slopeOf(variances)
    return { value, gradient: gradient.map((g, k) => g * (slope[k] as number)) }
  }
  const best = boundedMinimum(objective, placeOf(start), lower, 1e-14)
  const variances = varianceOf(best.x)

  const figure = (
    of: VarianceFunction,
    confidence: number,
    cutOff: CutOff = 'degrees of freedom',
  ): StudyFigure => {
    // A single component may vanish, and its logarithm with it: the search adds a hundredth of its unit.
    const vanishes = of.numerator[last] === 0
    const added = vanishes ? 0.01 * Math.max(...of.numerator.map((w, k) => w * (units[k] as number))) : 0
    const g = (v: Float64Array) => added + weighted(of.numerator, v)
    const h = (v: Float64Array) => (of.denominator === null ? 1 : weighted(of.denominator, v))
    const valueAt = (v: Float64Array) => (g(v) - added) / h(v)
    const logarithm = (x: Float64Array) => Math.log(g(varianceOf(x)) / h(varianceOf(x)))
    const drawn =
      (target: number): Objective =>
      (x) => {
        const v = varianceOf(x)
        const here = objective(x)
        const slope = slopeOf(v)
        const off = Math.log(g(v) / h(v)) - target
        return {
          value: here.value + PULL * off * off,
          gradient: here.gradient.map((d, k) => {
            const up = (of.numerator[k] as number) / g(v)
            const down = of.denominator === null ? 0 : (of.denominator[k] as number) / h(v)
            return d + 2 * PULL * off * (up - down) * (slope[k] as number)
          }),
        }
      }
    const general = chiSquareUpperQuantile(1 - confidence, 1)
    /** Deviance above the least that a limit may have, at a point on the way to it. */
    const allowedAt = (x: Float64Array, direction: 1 | -1): number => {
      if (of.denominator !== null || cutOff === 'large samples') return general
      const own = df(varianceOf(x), of.numerator)
      return own === null ? general : allowedDeviance(own, direction, confidence)
    }
    const centre = logarithm(best.x)
    /** The least point drawn to a target; the deviance can have several, so that several starts are tried. */
    const solve = (target: number, starts: readonly Float64Array[]): Float64Array => {
      const found = starts
        .map((start) => attempt(drawn(target), start, lower))
        .filter((each) => each !== null)
      if (found.length === 0) {
        throw new ConvergenceError(`no least deviance found at distance ${target - centre} from its maximum`)
      }
      return found.reduce((least, each) => (each.value < least.value ? each : least)).x
    }
    /** How far the deviance lies beyond the allowed one; its root is close to a straight line in the distance. */
    const excess = (x: Float64Array, direction: 1 | -1) =>
      Math.sqrt(Math.max(0, objective(x).value - best.value)) - Math.sqrt(allowedAt(x, direction))
    /** The best point with one component moved that takes the function the way it is to go. */
    const moved = (distance: number): Float64Array[] => {
      if (Math.abs(distance) > NEAR) return []
      return Array.from(units, (unit, k) => {
        const grows = (of.numerator[k] as number) > 0
        if (!grows && of.denominator === null) return null
        const v = Float64Array.from(variances)
        v[k] =
          Math.max(v[k] as number, grows && distance > 0 ? unit : 0) * Math.exp(grows ? distance : -distance)
        return placeOf(v)
      }).filter((place) => place !== null)
    }
    const away = (direction: 1 | -1): number | null => {
      let inside = { distance: 0, x: best.x }
      for (let distance = 0.5; distance < FARTHEST; distance *= 1.6) {
        const targetAt = (d: number) => centre + direction * d
        const first = solve(targetAt(distance), [inside.x, ...moved(direction * distance)])
        const x = excess(first, direction) > 0 ? solve(targetAt(distance), [inside.x, first]) : first
        if (excess(x, direction) <= 0) {
          // A function that no longer follows is at its own end: a component at 0, a ratio where it ends.
          const followed = direction * (logarithm(x) - logarithm(inside.x))
          if (followed < 0.1 * (distance - inside.distance)) return valueAt(varianceOf(x))
          inside = { distance, x }
          continue
        }
        let found = x
        const { x: near } = inside
        const beyond = (d: number) => {
          if (d === 0) return -Math.sqrt(general)
          found = d === distance ? x : solve(targetAt(d), [near, x, ...moved(direction * d)])
          return excess(found, direction)
        }
        // Seen from the far side, the near point may turn out to lie beyond as well.
        const from = beyond(inside.distance) < 0 ? inside.distance : 0
        beyond(findRoot(beyond, from, distance, 1e-9))
        return valueAt(varianceOf(found))
      }
      return direction < 0 ? valueAt(varianceOf(inside.x)) : null
    }
    const value = valueAt(variances)
    const above = away(1)
    return {
      value,
      lower: value === 0 ? 0 : Math.max(0, Math.min(value, away(-1) ?? 0)),
      upper: above === null ? null : Math.max(value, above),
    }
  }
  return { variances, deviance: best.value, figure }
}

/** The minimum from one start; null where the search does not end there. */
function attempt(objective: Objective, start: Float64Array, lower: Float64Array): Minimum | null {
  try {
    return boundedMinimum(objective, start, lower, 1e-10)
  } catch (error) {
    if (error instanceof ConvergenceError) return null
    throw error
  }
}

/** Below so many degrees of freedom a limit is set as with so many. */
const LEAST_DF = 0.5

/**
 * Twice the loss of log-likelihood at a limit of a variance that is estimated with few degrees of freedom: such that
 * limits of a plain variance are those by chi-square, with equal tails. With many it is chi-square with one degree of
 * freedom, on both sides.
 */
function allowedDeviance(df: number, direction: 1 | -1, confidence: number): number {
  const nu = Math.max(LEAST_DF, df)
  if (nu > 1e5) return chiSquareUpperQuantile(1 - confidence, 1)
  const tail = (1 - confidence) / 2
  const ratio = (direction > 0 ? chiSquareQuantile(tail, nu) : chiSquareUpperQuantile(tail, nu)) / nu
  return nu * (ratio - 1 - Math.log(ratio))
}

function weighted(weights: readonly number[], variances: Float64Array): number {
  return weights.reduce((sum, w, k) => sum + w * (variances[k] as number), 0)
}
