import { ArgumentError } from '../errors.ts'

/** Throws ArgumentError unless the value is a finite number. */
export function requireFinite(argument: string, value: number): void {
  if (!Number.isFinite(value)) throw new ArgumentError(argument, `must be a finite number, not ${value}`)
}

/** Throws ArgumentError unless the value is finite and greater than zero. */
export function requirePositive(argument: string, value: number): void {
  if (!(value > 0 && value < Number.POSITIVE_INFINITY)) {
    throw new ArgumentError(argument, `must be a finite number greater than zero, not ${value}`)
  }
}

/** Throws ArgumentError where the value is not a number; infinities pass. */
export function requireNumber(argument: string, value: number): void {
  if (Number.isNaN(value)) throw new ArgumentError(argument, 'is not a number')
}

/** Throws ArgumentError unless the value is a probability, 0 and 1 included. */
export function requireProbability(argument: string, value: number): void {
  if (!(value >= 0 && value <= 1)) {
    throw new ArgumentError(argument, `must be a probability from 0 to 1, not ${value}`)
  }
}
