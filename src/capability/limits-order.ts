import { ArgumentError } from '../errors.ts'
import type { Limits } from './indices.ts'

/**
 * Throws ArgumentError where the limits are crossed. The same limit twice leaves no tolerance, and is not wrong for
 * that.
 */
export function requireOrder({ lower, upper }: Limits): void {
  if (lower !== null && upper !== null && lower > upper) {
    throw new ArgumentError('limits', `the lower limit ${lower} is above the upper ${upper}`)
  }
}
