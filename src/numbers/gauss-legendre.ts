/** Nodes on (−1, 1), ascending, and weights, of a Gauss–Legendre rule. Both have the rule's number of points. */
export interface GaussRule {
  readonly nodes: Float64Array
  readonly weights: Float64Array
}

const rules = new Map<number, GaussRule>()

/**
 * The Gauss–Legendre rule with n points, n ≥ 1: Newton's method on the Legendre polynomial from the usual cosine guess
 * (DLMF 3.5(v)). Computed once for each n.
 */
export function gaussLegendre(n: number): GaussRule {
  const known = rules.get(n)
  if (known !== undefined) return known
  const nodes = new Float64Array(n)
  const weights = new Float64Array(n)
  for (let i = 0; i < (n + 1) / 2; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5))
    let derivative = 1
    for (let k = 0; k < 20; k++) {
      let previous = 1
      let value = x
      for (let j = 2; j <= n; j++) {
        const next = ((2 * j - 1) * x * value - (j - 1) * previous) / j
        previous = value
        value = next
      }
      derivative = (n * (x * value - previous)) / (x * x - 1)
      const step = value / derivative
      x -= step
      if (Math.abs(step) < 1e-15) break
    }
    const weight = 2 / ((1 - x * x) * derivative * derivative)
    nodes[i] = -x
    nodes[n - 1 - i] = x
    weights[i] = weight
    weights[n - 1 - i] = weight
  }
  const rule = { nodes, weights }
  rules.set(n, rule)
  return rule
}

/** Integral of f over [from, to] by one Gauss–Legendre rule. */
export function integrate(f: (x: number) => number, from: number, to: number, rule: GaussRule): number {
  const centre = (from + to) / 2
  const half = (to - from) / 2
  const { nodes, weights } = rule
  let sum = 0
  for (let i = 0; i < nodes.length; i++) {
    sum += (weights[i] as number) * f(centre + half * (nodes[i] as number))
  }
  return sum * half
}
