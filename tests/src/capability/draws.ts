import { randomSource } from '../../../src/numbers/random-source.ts'

/** Random draws for simulations, from a seed. */
export interface Draws {
  uniform(): number
  normal(): number
  /** Chi-square with df > 1 degrees of freedom. */
  chiSquare(df: number): number
  weibull(shape: number, scale: number): number
}

/**
 * Normal numbers by the polar method (G. Marsaglia and T. A. Bray, SIAM Review 6 (1964), 260–264), chi-square by that of
 * G. Marsaglia and W. W. Tsang (ACM Transactions on Mathematical Software 26 (2000), 363–372).
 */
export function draws(seed: number): Draws {
  const { uniform } = randomSource(seed)
  let spare: number | null = null
  const normal = () => {
    if (spare !== null) {
      const value = spare
      spare = null
      return value
    }
    for (;;) {
      const u = 2 * uniform() - 1
      const v = 2 * uniform() - 1
      const s = u * u + v * v
      if (s >= 1) continue
      const factor = Math.sqrt((-2 * Math.log(s)) / s)
      spare = v * factor
      return u * factor
    }
  }
  const chiSquare = (df: number) => {
    const d = df / 2 - 1 / 3
    const c = 1 / Math.sqrt(9 * d)
    for (;;) {
      const x = normal()
      const v = (1 + c * x) ** 3
      if (v > 0 && Math.log(uniform()) < (x * x) / 2 + d * (1 - v + Math.log(v))) return 2 * d * v
    }
  }
  const weibull = (shape: number, scale: number) => scale * (-Math.log(uniform())) ** (1 / shape)
  return { uniform, normal, chiSquare, weibull }
}
