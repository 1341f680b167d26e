import { normalLower, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import type { TestChain } from './test-chain.ts'

/**
 * Probability that a normal point falls into each region of a chain.
 *
 * @param shift how far the true mean lies from the centre line, in standard errors of the plotted point
 * @throws ArgumentError where the shift is not finite
 */
export function regionProbabilities({ lines }: TestChain, shift: number): number[] {
  if (!Number.isFinite(shift)) throw new ArgumentError('shift', `${shift} is not finite`)
  return lines.slice(1).map((to, region) => between((lines[region] as number) - shift, to - shift))
}

/** Probability that a standard normal variable lies between two lines, from the tail that keeps its digits. */
function between(from: number, to: number): number {
  return from > 0 ? normalUpper(from) - normalUpper(to) : normalLower(to) - normalLower(from)
}
