import { ConvergenceError } from '../errors.ts'

/** A tail probability at u and its derivative there by u. */
export interface TailPoint {
  readonly tail: number
  readonly derivative: number
}

const MAX_STEPS = 200

/**
 * The u at which a strictly monotone tail probability has the value `target`.
 *
 * Newton's method on ln(tail / target), held inside the bracket that the steps so far have shown. In a variable in
 * which the tail is log-concave it converges from any start, and quadratically: once a step is shorter than 1e-9 the
 * error left after it is of the order of 1e-18. The caller chooses u so that the tail changes over lengths that are not
 * much below 1e-3.
 *
 * @param target probability, greater than zero
 * @param at the tail and its derivative at u
 * @param rising whether the tail grows with u
 * @param start first guess
 * @param longest no step is longer than this, in units of u
 * @throws ConvergenceError after 200 steps
 */
export function invertTail(
  target: number,
  at: (u: number) => TailPoint,
  rising: boolean,
  start: number,
  longest: number,
): number {
  let low = Number.NEGATIVE_INFINITY
  let high = Number.POSITIVE_INFINITY
  let u = start
  for (let i = 0; i < MAX_STEPS; i++) {
    const { tail, derivative } = at(u)
    if (tail === target) return u
    const rootAbove = tail < target === rising
    if (rootAbove) low = u
    else high = u
    let step = (-Math.log(tail / target) * tail) / derivative
    if (!(Math.abs(step) < longest)) step = rootAbove ? longest : -longest
    if (Math.abs(step) < 1e-9) return u + step
    const next = u + step
    u = next <= low || next >= high ? (low + high) / 2 : next
  }
  throw new ConvergenceError(`inverse of a tail probability ${target}: stopped at ${u}`)
}
