/**
 * ln(1 + x) − x without cancellation near zero, for x > −1.
 *
 * With r = x / (2 + x), ln(1 + x) = 2 artanh r, and the terms of first order are taken off by hand:
 * ln(1 + x) − x = r (−x + 2 r² (1/3 + r²/5 + r⁴/7 + …)).
 * Always ≤ 0, about −x²/2 for small x. It is what makes densities with large parameters keep their digits.
 */
export function log1pMinus(x: number): number {
  if (x < -0.5 || x > 1) return Math.log1p(x) - x
  const r = x / (2 + x)
  const r2 = r * r
  let power = 1
  let sum = 1 / 3
  for (let k = 5; k < 80; k += 2) {
    power *= r2
    const term = power / k
    sum += term
    if (term < 1e-17 * sum) break
  }
  return r * (2 * r2 * sum - x)
}
