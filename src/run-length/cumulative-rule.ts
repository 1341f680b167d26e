import { gaussLegendre } from '../numbers/gauss-legendre.ts'

/** Integration on (0, 1) of a function known at n nodes. */
export interface CumulativeRule {
  /** n weights of the integral from 0 to 1. */
  readonly weights: Float64Array
  /** n × n in rows: row i has the weights of the integral from 0 to node i. */
  readonly below: Float64Array
  /** n × n in rows: row i has the weights of the integral from node i to 1. */
  readonly after: Float64Array
}

/**
 * Gauss–Legendre nodes on (0, 1) with the weights that integrate the polynomial through n values: exact to degree
 * 2 n − 1 over all of (0, 1), to degree n − 1 up to a node.
 */
export function cumulativeRule(n: number): CumulativeRule {
  const rule = gaussLegendre(n)
  const nodes = rule.nodes.map((node) => (1 + node) / 2)
  const weights = rule.weights.map((weight) => weight / 2)
  const below = new Float64Array(n * n)
  for (let i = 0; i < n; i++) {
    const end = nodes[i] as number
    for (let j = 0; j < n; j++) {
      let sum = 0
      for (let k = 0; k < n; k++)
        sum += (weights[k] as number) * lagrange(nodes, j, end * (nodes[k] as number))
      below[i * n + j] = end * sum
    }
  }
  // Nodes lie symmetrically, so that the rows of one matrix are those of the other backwards.
  return { weights, below, after: below.toReversed() }
}

/** The polynomial that is 1 at node j and 0 at the others. */
function lagrange(nodes: Float64Array, j: number, x: number): number {
  const own = nodes[j] as number
  let product = 1
  for (let k = 0; k < nodes.length; k++) {
    if (k !== j) product *= (x - (nodes[k] as number)) / (own - (nodes[k] as number))
  }
  return product
}
