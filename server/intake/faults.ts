import type { FileProblem } from '../contract/receipt.ts'
import type { Meaning } from './meaning.ts'

/** A file that cannot be read as a table, thrown by the stage that found out. */
export class FileProblemError extends Error {
  override readonly name: string = 'FileProblemError'
  readonly problem: FileProblem

  constructor(what: string, where: string | null, next: string) {
    super(what)
    this.problem = { what, where, next }
  }
}

/** The person who brought the file has stopped it. */
export class CancelledError extends Error {
  override readonly name: string = 'CancelledError'
}

/** Why one row cannot be taken in. */
export interface Fault {
  /** The column at fault; null where the row as a whole is. */
  readonly meaning: Meaning | null
  readonly value: string
  readonly reason: string
}

const SHOWN = 200

/** Text shortened for showing. */
export function shortened(text: string): string {
  return text.length <= SHOWN ? text : `${text.slice(0, SHOWN - 1)}…`
}
