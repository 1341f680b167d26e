import { ArgumentError } from '../errors.ts'

/** Throws ArgumentError unless the value lies between 0 and 1, ends excluded. */
export function requireFraction(argument: string, value: number): void {
  if (!(value > 0 && value < 1)) throw new ArgumentError(argument, `${value} is not between 0 and 1`)
}
