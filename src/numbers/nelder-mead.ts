import { ConvergenceError } from '../errors.ts'

/** A least value and where it was found. */
export interface Minimum {
  readonly at: readonly number[]
  readonly value: number
}

/** When a search is at its end. */
export interface Precision {
  /** Size of the simplex, in units of the steps. */
  readonly size: number
  /** What a new start may still bring, as a share of the value. */
  readonly gain: number
}

/** The place to about half the digits of the value. */
const FULL: Precision = { size: 1e-9, gain: 1e-13 }
/** For a place that need not be known better than to a hundredth of a step. */
export const ROUGH: Precision = { size: 1e-2, gain: 1e-7 }

/** A flat valley can take thousands of steps to leave. */
const MAX_STEPS = 20_000

interface Vertex {
  readonly at: number[]
  readonly value: number
}

/** Steps of a new start, as a share of the first ones. */
const RESTART = 0.05

/** The point `from` + `factor` (`to` − `from`). */
function along(from: readonly number[], to: readonly number[], factor: number): number[] {
  return from.map((x, i) => x + factor * ((to[i] as number) - x))
}

/** One descent of the simplex from a start. */
function descend(
  f: (at: readonly number[]) => number,
  start: readonly number[],
  steps: readonly number[],
  tolerance: number,
): Minimum {
  const vertex = (at: number[]): Vertex => {
    const value = f(at)
    return { at, value: Number.isNaN(value) ? Number.POSITIVE_INFINITY : value }
  }
  const simplex = [vertex([...start])]
  for (let i = 0; i < start.length; i++) {
    simplex.push(vertex(start.map((x, j) => (i === j ? x + (steps[j] as number) : x))))
  }
  const n = start.length
  for (let iteration = 0; iteration < MAX_STEPS; iteration++) {
    simplex.sort((a, b) => a.value - b.value)
    const best = simplex[0] as Vertex
    const worst = simplex[n] as Vertex
    const size = Math.max(
      ...simplex.map((v) =>
        Math.max(...v.at.map((x, i) => Math.abs(x - (best.at[i] as number)) / Math.abs(steps[i] as number))),
      ),
    )
    if (size <= tolerance) return best
    const centre = start.map(
      (_, i) => simplex.slice(0, n).reduce((sum, v) => sum + (v.at[i] as number), 0) / n,
    )
    const reflected = vertex(along(worst.at, centre, 2))
    if (reflected.value < best.value) {
      const expanded = vertex(along(worst.at, centre, 3))
      simplex[n] = expanded.value < reflected.value ? expanded : reflected
    } else if (reflected.value < (simplex[n - 1] as Vertex).value) {
      simplex[n] = reflected
    } else {
      const outside = reflected.value < worst.value
      const contracted = vertex(along(worst.at, centre, outside ? 1.5 : 0.5))
      if (contracted.value < Math.min(reflected.value, worst.value)) simplex[n] = contracted
      else for (let i = 1; i <= n; i++) simplex[i] = vertex(along(best.at, (simplex[i] as Vertex).at, 0.5))
    }
  }
  throw new ConvergenceError(`simplex minimum: ${MAX_STEPS} steps from ${start.join(', ')}`)
}

/**
 * A local minimum of a function of a few variables.
 *
 * Nelder and Mead's simplex as in J. C. Lagarias and others, SIAM Journal on Optimization 9 (1998), 112–147, started
 * afresh from where it ended until that brings nothing more, because a simplex can collapse early.
 *
 * @param f function; infinity or NaN outside its domain
 * @param start first corner, where f is finite
 * @param steps scale of each variable, the edges of the first simplex; not zero
 * @throws ConvergenceError where 20,000 steps or ten restarts are not enough
 */
export function minimise(
  f: (at: readonly number[]) => number,
  start: readonly number[],
  steps: readonly number[],
  { size, gain: enough }: Precision = FULL,
): Minimum {
  let found = descend(f, start, steps, size)
  for (let restart = 0; restart < 10; restart++) {
    const next = descend(
      f,
      found.at,
      steps.map((step) => step * RESTART),
      size,
    )
    const gain = found.value - next.value
    if (gain >= 0) found = next
    if (gain <= enough * Math.abs(found.value)) return found
  }
  throw new ConvergenceError('simplex minimum: ten restarts each brought a lower value')
}
