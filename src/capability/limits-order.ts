import { ArgumentError } from '../errors.ts'
import type { Limits } from './indices.ts'

/** Throws ArgumentError where both limits exist and the lower is not below the upper. */
export function requireOrder({ lower, upper }: Limits): void {
  if (lower !== null && upper !== null && lower >= upper) {
    throw new ArgumentError('limits', `the lower limit ${lower} is not below the upper ${upper}`)
  }
}
