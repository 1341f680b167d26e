import { ConvergenceError } from '../errors.ts'
import { cholesky } from '../numbers/cholesky.ts'

/** A smooth function of a few variables with its gradient. */
export type Objective = (x: Float64Array) => { readonly value: number; readonly gradient: Float64Array }

export interface Minimum {
  readonly x: Float64Array
  readonly value: number
  /** Approximate matrix of second derivatives at x, row by row; good enough to start a nearby search with. */
  readonly curvature: Float64Array
}

const MOST_STEPS = 200

/**
 * Minimum of a smooth function of a few variables, each not below a bound of its own, by a quasi-Newton method:
 * variables that sit on their bound and would leave the region are held, the others take a step on the approximate
 * second derivatives, which are first found by differences of gradients and then updated (damped BFGS).
 *
 * Source: J. Nocedal and S. J. Wright, Numerical Optimization (2nd edition, 2006), sections 3.1, 16.7 and 18.3.
 *
 * @param start within the bounds
 * @param lower the bounds; minus infinity where there is none
 * @param curvature from an earlier search nearby; found by differences where absent
 * @param tolerance how far above the minimum the quadratic approximation may put the result
 * @throws ConvergenceError where 200 steps do not suffice
 */
export function boundedMinimum(
  objective: Objective,
  start: Float64Array,
  lower: Float64Array,
  tolerance: number,
  curvature?: Float64Array,
): Minimum {
  const n = start.length
  let x = start
  let here = objective(x)
  let b = curvature === undefined ? differences(objective, x, here.gradient) : Float64Array.from(curvature)
  for (let taken = 0; taken < MOST_STEPS; taken++) {
    const free: number[] = []
    for (let i = 0; i < n; i++) {
      if ((x[i] as number) > (lower[i] as number) || (here.gradient[i] as number) < 0) free.push(i)
    }
    if (free.length === 0) return { x, value: here.value, curvature: b }
    const step = newtonStep(b, here.gradient, free, n)
    const promised = -free.reduce((sum, i) => sum + (here.gradient[i] as number) * (step[i] as number), 0)
    if (promised <= 2 * tolerance) return { x, value: here.value, curvature: b }

    let length = 1
    let next = here
    let at = x
    for (let halvings = 0; ; halvings++) {
      at = x.map((value, i) => Math.max(lower[i] as number, value + length * (step[i] as number)))
      next = objective(at)
      const slope = at.reduce(
        (sum, value, i) => sum + (value - (x[i] as number)) * (here.gradient[i] as number),
        0,
      )
      // Close to the minimum, values differ by no more than rounding; there the gradient alone leads on.
      const rounding = 1e-11 * Math.abs(here.value)
      if (next.value <= here.value + 1e-4 * slope + rounding) break
      if (halvings === 60) throw new ConvergenceError(`no lower value found near ${Array.from(x)}`)
      length /= 2
    }
    b = updated(b, x, at, here.gradient, next.gradient)
    x = at
    here = next
  }
  throw new ConvergenceError(`minimum not reached in ${MOST_STEPS} steps, near ${Array.from(x)}`)
}

/** Second derivatives by differences of the gradient; forwards only, since a bound may lie on the other side. */
function differences(objective: Objective, x: Float64Array, gradient: Float64Array): Float64Array {
  const n = x.length
  const rows = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const h = 1e-5 * Math.max(1, Math.abs(x[i] as number))
    const shifted = objective(x.map((value, j) => (j === i ? value + h : value))).gradient
    for (let j = 0; j < n; j++) rows[i * n + j] = ((shifted[j] as number) - (gradient[j] as number)) / h
  }
  return rows.map((value, place) => (value + (rows[(place % n) * n + Math.floor(place / n)] as number)) / 2)
}

/**
 * Step to the minimum of the quadratic approximation in the free variables; 0 in the others. Where the approximation
 * is not convex in them, its diagonal is first raised in place until it is.
 */
function newtonStep(
  b: Float64Array,
  gradient: Float64Array,
  free: readonly number[],
  n: number,
): Float64Array {
  const size = free.length
  const freeBlock = () => Float64Array.from(free.flatMap((i) => free.map((j) => b[i * n + j] as number)))
  let factor = cholesky(freeBlock(), size)
  for (let raise = 1e-3; factor === null; raise *= 10) {
    for (const i of free) {
      const diagonal = b[i * n + i] as number
      b[i * n + i] = diagonal + raise * Math.max(Math.abs(diagonal), 1e-8)
    }
    factor = cholesky(freeBlock(), size)
  }
  const solution = Float64Array.from(free, (i) => -(gradient[i] as number))
  for (let i = 0; i < size; i++) {
    let sum = solution[i] as number
    for (let j = 0; j < i; j++) sum -= (factor[i * size + j] as number) * (solution[j] as number)
    solution[i] = sum / (factor[i * size + i] as number)
  }
  for (let i = size - 1; i >= 0; i--) {
    let sum = solution[i] as number
    for (let j = i + 1; j < size; j++) sum -= (factor[j * size + i] as number) * (solution[j] as number)
    solution[i] = sum / (factor[i * size + i] as number)
  }
  const step = new Float64Array(n)
  for (const [place, i] of free.entries()) step[i] = solution[place] as number
  return step
}

/** Powell's damped BFGS update, which keeps the approximation positive definite. */
function updated(
  b: Float64Array,
  from: Float64Array,
  to: Float64Array,
  gradientFrom: Float64Array,
  gradientTo: Float64Array,
): Float64Array {
  const n = from.length
  const s = to.map((value, i) => value - (from[i] as number))
  const bs = s.map((_, i) => s.reduce((sum, value, j) => sum + (b[i * n + j] as number) * value, 0))
  const sbs = s.reduce((sum, value, i) => sum + value * (bs[i] as number), 0)
  if (!(sbs > 0)) return b
  const change = gradientTo.map((value, i) => value - (gradientFrom[i] as number))
  const sy = s.reduce((sum, value, i) => sum + value * (change[i] as number), 0)
  const share = sy >= 0.2 * sbs ? 1 : (0.8 * sbs) / (sbs - sy)
  const y = change.map((value, i) => share * value + (1 - share) * (bs[i] as number))
  const sDamped = s.reduce((sum, value, i) => sum + value * (y[i] as number), 0)
  return b.map((value, place) => {
    const i = Math.floor(place / n)
    const j = place % n
    return (
      value - ((bs[i] as number) * (bs[j] as number)) / sbs + ((y[i] as number) * (y[j] as number)) / sDamped
    )
  })
}
