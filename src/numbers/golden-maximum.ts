const GOLDEN = (Math.sqrt(5) - 1) / 2

/**
 * Greatest value of a function between two points: the best of a grid, then golden section around it. Where the
 * function has several hills, the grid decides which one is climbed.
 *
 * Source: J. Kiefer, Proceedings of the American Mathematical Society 4 (1953), 502–506.
 *
 * @param f may give minus infinity
 * @param from less than `to`
 * @param points of the grid, at least 3, the ends among them
 * @param tolerance in x
 */
export function goldenMaximum(
  f: (x: number) => number,
  from: number,
  to: number,
  points: number,
  tolerance: number,
): { readonly x: number; readonly value: number } {
  const step = (to - from) / (points - 1)
  let best = { x: from, value: f(from) }
  for (let i = 1; i < points; i++) {
    const x = from + i * step
    const value = f(x)
    if (value > best.value) best = { x, value }
  }
  let low = Math.max(from, best.x - step)
  let high = Math.min(to, best.x + step)
  let a = high - GOLDEN * (high - low)
  let b = low + GOLDEN * (high - low)
  let [fa, fb] = [f(a), f(b)]
  while (high - low > tolerance) {
    if (fa >= fb) {
      high = b
      b = a
      fb = fa
      a = high - GOLDEN * (high - low)
      fa = f(a)
    } else {
      low = a
      a = b
      fa = fb
      b = low + GOLDEN * (high - low)
      fb = f(b)
    }
  }
  const found = fa >= fb ? { x: a, value: fa } : { x: b, value: fb }
  return found.value > best.value ? found : best
}
