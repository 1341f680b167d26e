import { ArgumentError } from '../errors.ts'
import { findRoot } from '../numbers/brent.ts'

/**
 * The positive number at which an in-control average run length reaches a wanted value: zero of the logarithm of
 * their ratio.
 *
 * @param runLengthAt average run length, which must not fall as its argument grows
 * @param wanted above 1
 * @throws ArgumentError where no number from 2⁻²⁰ to 32 gives the wanted run length
 */
export function multiplierFor(runLengthAt: (multiplier: number) => number, wanted: number): number {
  if (!(wanted > 1 && Number.isFinite(wanted))) {
    throw new ArgumentError('runLength', `an average run length of ${wanted} cannot be asked for`)
  }
  const target = Math.log(wanted)
  const distance = (multiplier: number) => Math.log(runLengthAt(multiplier)) - target
  let low = 1
  let high = 1
  while (distance(low) > 0) {
    high = low
    low /= 2
    if (low < 2 ** -20) throw new ArgumentError('runLength', `${wanted} is shorter than any that can be had`)
  }
  while (distance(high) < 0) {
    low = high
    high *= 2
    if (high > 32) throw new ArgumentError('runLength', `${wanted} is longer than any that can be had`)
  }
  return low === high ? low : findRoot(distance, low, high, 1e-12)
}
