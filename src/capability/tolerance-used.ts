import type { FractionEstimate } from './fraction-outside.ts'
import type { IndexPair } from './performance.ts'

/**
 * Share of the tolerance that 99.73 % of the parts take up: the width that holds them over the distance of the limits,
 * or, with one limit, from the middle to the outermost of them over the distance from the middle to the limit. It is the
 * reciprocal of Pp or Ppk, and its interval follows from theirs.
 *
 * @returns null without limits, and where the middle of the values lies beyond the limit or may lie there
 */
export function toleranceUsed({ spread, nearer }: IndexPair): FractionEstimate | null {
  const index = spread ?? nearer
  if (index === null || index.lower <= 0) return null
  const { value, lower, upper, confidence } = index
  return { value: 1 / value, lower: 1 / upper, upper: 1 / lower, confidence }
}
