import { cholesky } from '../numbers/cholesky.ts'
import { boundedMinimum } from '../variation/bounded-minimum.ts'
import type { Unit } from './information.ts'
import { type EffectKind, MixedEquations, type Point } from './mixed-equations.ts'
import type { Coefficient } from './offsets.ts'
import { solveFactored } from './small-systems.ts'

/** Variances between builds and loads, and the coefficients of the process behind them. */
export interface Components {
  readonly kinds: readonly EffectKind[]
  /** By kind, in squared units of its coefficient. */
  readonly variances: Float64Array
  /** Generalised least squares estimates, p. */
  readonly coefficients: Float64Array
  /** Their covariance, p × p. */
  readonly covariance: Float64Array
  /** Minus twice the restricted log-likelihood, but for a constant. */
  readonly deviance: number
}

/** The whole record: components where builds can be compared, plain least squares of the one build otherwise. */
export interface Whole extends Components {
  readonly builds: number
  readonly loads: number
}

/** After so many steps the average information has proved a poor guide, and the curvature is learnt on the way. */
const MOST_ROUNDS = 15
/** A slope of the deviance by the logarithm of a variance that counts as none. */
const FLAT = 1e-9
/** No step makes a variance larger than this many times. */
const MOST_GROWTH = 30

/**
 * Restricted maximum likelihood of a model with crossed build and load effects on the coefficients, from what each
 * unit (build within load) tells of them:
 *
 *   coefficients of a unit = β + effects of its build + effects of its load
 *
 * Henderson's mixed model equations, each random effect divided by its standard deviation so that they stay regular
 * down to no variance, solved along their envelope; Newton steps with the average information matrix, expectation
 * maximisation where such a step does not lead down, and a quasi-Newton search where both are slow.
 *
 * Sources: C. R. Henderson, Biometrics 31 (1975), 423–447; A. R. Gilmour, R. Thompson and B. R. Cullis, Average
 * information REML, Biometrics 51 (1995), 1440–1450.
 *
 * @param units in the order of builds
 * @param start variances to start from, above zero, by kind
 * @param least variances that count as none, above zero, by kind
 * @throws ConvergenceError where the search does not end, or the coefficients cannot be told apart
 */
export function fitComponents(
  units: readonly Unit[],
  coefficients: readonly Coefficient[],
  kinds: readonly EffectKind[],
  start: Float64Array,
  least: Float64Array,
): Components {
  const equations = new MixedEquations(units, coefficients.length, kinds)
  let here = equations.at(start)
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const { variances, gradient } = here
    // A variance that nothing depends on stays where it is.
    const free = kinds
      .map((_, t) => t)
      .filter((t) => {
        const slope = (gradient[t] as number) * (variances[t] as number)
        return slope < -FLAT || (slope > FLAT && (variances[t] as number) > (least[t] as number))
      })
    const step = newtonStep(here, free, least)
    const slopeAt = (point: Point) =>
      free.reduce((sum, t) => sum + (point.gradient[t] as number) * (step[t] as number), 0)
    const slope = slopeAt(here)
    if (Math.abs(slope) < 1e-10) return finish(equations, here, kinds, least)
    let next: Point | null = null
    for (let length = 1; length > 1e-3 && slope < 0; length /= 2) {
      const tried = equations.at(moved(variances, step, length, least))
      const lower = here.deviance - tried.deviance
      // Close to the end values differ by no more than rounding; there the slope along the step decides.
      const rounding = 1e-10 * Math.max(1, Math.abs(here.deviance))
      const flatter = Math.abs(slopeAt(tried)) < 0.9 * -slope
      if (lower > -0.1 * length * slope || (lower > -rounding && flatter)) {
        next = tried
        break
      }
    }
    here = next ?? equations.at(moved(variances, emStep(here, equations.groups), 1, least))
  }
  return finish(equations, learntMinimum(equations, here, least), kinds, least)
}

/** Quasi-Newton search from a point, in variances relative to those there, starting with the average information. */
function learntMinimum(equations: MixedEquations, from: Point, least: Float64Array): Point {
  const scale = from.variances
  const width = scale.length
  const scaled = (values: Float64Array) => values.map((v, t) => v * (scale[t] as number))
  const found = boundedMinimum(
    (x) => {
      const { deviance, gradient } = equations.at(scaled(x))
      return { value: deviance, gradient: scaled(gradient) }
    },
    scale.map(() => 1),
    least.map((l, t) => Math.min(1, l / (scale[t] as number))),
    1e-8,
    from.average.map(
      (value, at) => value * (scale[Math.floor(at / width)] as number) * (scale[at % width] as number),
    ),
  )
  return equations.at(scaled(found.x))
}

function finish(
  equations: MixedEquations,
  point: Point,
  kinds: readonly EffectKind[],
  least: Float64Array,
): Components {
  const { fixed, covariance } = equations.fixedPart()
  return {
    kinds,
    variances: point.variances.map((v, t) => (v > (least[t] as number) ? v : 0)),
    coefficients: fixed,
    covariance,
    deviance: point.deviance,
  }
}

function moved(from: Float64Array, step: Float64Array, length: number, least: Float64Array): Float64Array {
  return from.map((v, t) =>
    Math.min(MOST_GROWTH * v, Math.max(least[t] as number, v + length * (step[t] as number))),
  )
}

/**
 * Least point of the quadratic approximation: variances that it would take below their least go there, and the others
 * follow them.
 */
function newtonStep(
  { variances, gradient, average }: Point,
  free: readonly number[],
  least: Float64Array,
): Float64Array {
  const width = gradient.length
  const step = new Float64Array(width)
  let open = free
  for (;;) {
    const bound = free.filter((t) => !open.includes(t))
    const solution = Float64Array.from(open, (t) =>
      bound.reduce(
        (sum, s) => sum - (average[t * width + s] as number) * (step[s] as number),
        -(gradient[t] as number),
      ),
    )
    const lower = cholesky(
      Float64Array.from(open.flatMap((t) => open.map((s) => average[t * width + s] as number))),
      open.length,
    )
    if (lower !== null) solveFactored(lower, solution)
    else
      for (const [r, t] of open.entries())
        solution[r] = (solution[r] as number) / Math.max(average[t * width + t] as number, Number.MIN_VALUE)
    for (const [r, t] of open.entries()) step[t] = solution[r] as number
    const low = open.filter((t) => (variances[t] as number) + (step[t] as number) < (least[t] as number))
    if (low.length === 0) return step
    for (const t of low) step[t] = (least[t] as number) - (variances[t] as number)
    open = open.filter((t) => !low.includes(t))
  }
}

function emStep({ variances, gradient }: Point, groups: readonly number[]): Float64Array {
  return variances.map((v, t) => (-v * v * (gradient[t] as number)) / (groups[t] as number))
}
