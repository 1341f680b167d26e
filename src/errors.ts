/**
 * Errors of the statistics core. Each names the argument that cannot be used and says why,
 * so that a caller at the boundary can tell its user what to do.
 */

/** An argument that a function cannot compute with: empty data, a value that is not finite, crossed limits. */
export class ArgumentError extends RangeError {
  override readonly name: string = 'ArgumentError'
  /** The parameter's name as in the function's signature. */
  readonly argument: string

  constructor(argument: string, reason: string) {
    super(`${argument}: ${reason}`)
    this.argument = argument
  }
}

/** An iteration that did not reach its tolerance; the message says what was computed and how far it came. */
export class ConvergenceError extends Error {
  override readonly name: string = 'ConvergenceError'
}
