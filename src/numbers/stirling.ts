import { requirePositive } from './argument-checks.ts'

const HALF_LOG_TWO_PI = 0.9189385332046727

/**
 * Error of Stirling's formula: ln Γ(x) − [(x − ½) ln x − x + ½ ln 2π], for x > 0.
 *
 * From x = 10 on by the asymptotic series (DLMF 5.11.1), below by stepping up with
 * ε(x) − ε(x + 1) = (x + ½) ln(1 + 1/x) − 1. Absolute error of the order of 1e-16.
 * The densities are built on it after C. Loader, Fast and accurate computation of binomial probabilities (2000),
 * because differences of ln Γ at large arguments lose every digit that a ratio of densities needs.
 */
export function stirlingError(x: number): number {
  let sum = 0
  let y = x
  while (y < 10) {
    sum += (y + 0.5) * Math.log1p(1 / y) - 1
    y += 1
  }
  const w = 1 / (y * y)
  const series =
    1 / 12 -
    w *
      (1 / 360 -
        w *
          (1 / 1260 -
            w * (1 / 1680 - w * (1 / 1188 - w * (691 / 360360 - w * (1 / 156 - w * (3617 / 122400)))))))
  return sum + series / y
}

/**
 * ln Γ(x) for x > 0. Absolute error of the order of 1e-15, relative error of the order of 1e-15 for large x.
 * @throws ArgumentError where x is not a finite number greater than zero
 */
export function logGamma(x: number): number {
  requirePositive('x', x)
  return (x - 0.5) * Math.log(x) - x + HALF_LOG_TWO_PI + stirlingError(x)
}

/**
 * Γ(a + ½) / (Γ(a) √a) for a > 0: c4 and the constant of Student's density. Tends to 1 as 1 − 1/(8a).
 */
export function gammaHalfStepRatio(a: number): number {
  return Math.exp(a * Math.log1p(0.5 / a) - 0.5 + stirlingError(a + 0.5) - stirlingError(a))
}
