import { ArgumentError, ConvergenceError } from '../errors.ts'

/**
 * Zero of a continuous function between two points where its signs differ.
 *
 * R. P. Brent, Algorithms for Minimization without Derivatives (1973), chapter 4: inverse quadratic interpolation,
 * secant and bisection.
 *
 * @param f function of one variable
 * @param from one end of the bracket; f(from) and f(to) have opposite signs, or one is zero
 * @param to the other end
 * @param tolerance absolute error allowed in the zero; the spacing of doubles is added to it
 * @throws ArgumentError where the signs do not differ or an end is not finite
 * @throws ConvergenceError after 200 evaluations
 */
export function findRoot(f: (x: number) => number, from: number, to: number, tolerance = 0): number {
  if (!Number.isFinite(from)) throw new ArgumentError('from', 'must be finite')
  if (!Number.isFinite(to)) throw new ArgumentError('to', 'must be finite')
  let a = from
  let b = to
  let fa = f(a)
  let fb = f(b)
  if (fa === 0) return a
  if (fb === 0) return b
  if (!(fa * fb < 0 || Math.sign(fa) * Math.sign(fb) < 0)) {
    throw new ArgumentError('from', `the function has no change of sign from ${from} to ${to}`)
  }
  let c = a
  let fc = fa
  let step = b - a
  let before = step
  for (let i = 0; i < 200; i++) {
    if (Math.abs(fc) < Math.abs(fb)) {
      a = b
      b = c
      c = a
      fa = fb
      fb = fc
      fc = fa
    }
    const allowed = 2 * Number.EPSILON * Math.abs(b) + tolerance / 2
    const middle = (c - b) / 2
    if (fb === 0 || Math.abs(middle) <= allowed) return b
    if (Math.abs(before) < allowed || Math.abs(fa) <= Math.abs(fb)) {
      step = middle
      before = middle
    } else {
      const s = fb / fa
      let p: number
      let q: number
      if (a === c) {
        p = 2 * middle * s
        q = 1 - s
      } else {
        const t = fa / fc
        const r = fb / fc
        p = s * (2 * middle * t * (t - r) - (b - a) * (r - 1))
        q = (t - 1) * (r - 1) * (s - 1)
      }
      if (p > 0) q = -q
      else p = -p
      const last = before
      before = step
      if (2 * p < 3 * middle * q - Math.abs(allowed * q) && p < Math.abs(0.5 * last * q)) {
        step = p / q
      } else {
        step = middle
        before = middle
      }
    }
    a = b
    fa = fb
    b += Math.abs(step) > allowed ? step : middle > 0 ? allowed : -allowed
    fb = f(b)
    if (fb > 0 === fc > 0) {
      c = a
      fc = fa
      step = b - a
      before = step
    }
  }
  throw new ConvergenceError(`zero of a function between ${from} and ${to}: stopped at ${b}`)
}
