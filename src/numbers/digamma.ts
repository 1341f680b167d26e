import { requirePositive } from './argument-checks.ts'

/**
 * ψ(x) = d ln Γ(x) / dx for x > 0: the asymptotic series (DLMF 5.11.2) from x = 10 on, the recurrence below.
 * Absolute error of the order of 1e-15 where |ψ| is of the order of 1.
 * @throws ArgumentError where x is not a finite number greater than zero
 */
export function digamma(x: number): number {
  requirePositive('x', x)
  let sum = 0
  let y = x
  while (y < ASYMPTOTIC) {
    sum -= 1 / y
    y += 1
  }
  return sum + Math.log(y) - logLead(y)
}

/**
 * ln x − ψ(x), which is small and positive for large x: computed as such, since the difference of the two loses its
 * digits.
 *
 * @throws ArgumentError where x is not a finite number greater than zero
 */
export function logMinusDigamma(x: number): number {
  requirePositive('x', x)
  return x < ASYMPTOTIC ? Math.log(x) - digamma(x) : logLead(x)
}

/** From here on the asymptotic series is good to double precision. */
const ASYMPTOTIC = 10

/** ln y − ψ(y) by the asymptotic series, for y from 10 on. */
function logLead(y: number): number {
  const w = 1 / (y * y)
  const series =
    w * (1 / 12 - w * (1 / 120 - w * (1 / 252 - w * (1 / 240 - w * (1 / 132 - w * (691 / 32760 - w / 12))))))
  return 0.5 / y + series
}
